// The report works without this script: it then shows everything but the 3D view.
import { pictures } from './onpaper.js';
import { element, Panel } from './panel.js';

Panel.prototype.remove = function remove() {
  this.play.stop();
  this.viewer.clear();
  this.viewer.renderer.dispose();
  this.viewer.renderer.forceContextLoss();
  this.node.remove();
};

/** Gives cells the words of their heads, which stand beside them where there is no room for columns. */
function headed(table) {
  const heads = [...(table.tHead?.rows[0].cells ?? [])].map((th) => th.textContent.trim());
  [...table.tBodies[0].rows].forEach((row) => [...row.cells].forEach((cell, i) => { if (i) cell.dataset.head = heads[i]; }));
}

/** Starts the page of a report. */
export function report(data) {
  const root = document.documentElement;
  const opens = data.open ?? 0;
  const layouts = [...document.querySelectorAll('article.layout')];
  const stages = document.getElementById('stages');
  const panels = [];

  function choose(index) {
    layouts.forEach((l, i) => l.classList.toggle('chosen', i === index));
    panels[0]?.show(data.layouts[index]);
  }

  function newPanel(index) {
    const panel = new Panel(data, (moved) => {
      panels.forEach((p) => { if (p.viewer !== moved) p.viewer.follow(moved); });
    });
    stages.append(panel.node);
    panels.push(panel);
    panel.show(data.layouts[index]);
    return panel;
  }

  function setUnit(unit) {
    root.dataset.unit = unit;
    document.querySelectorAll('svg [data-mm]').forEach((e) => { e.textContent = e.dataset[unit]; }); // what is read aloud
    fitHeights();
    panels.forEach((p) => p.show(p.layout));
  }

  /** Drawings are as high as their words in the unit take. */
  function fitHeights() {
    document.querySelectorAll('svg[data-high-mm]').forEach((svg) => {
      const high = svg.getAttribute(`data-high-${root.dataset.unit}`);
      svg.setAttribute('height', high);
      svg.setAttribute('viewBox', `0 0 ${svg.getAttribute('width')} ${high}`);
    });
  }

  function start() {
    document.querySelectorAll('input[name=unit]').forEach((input) => {
      input.addEventListener('change', () => setUnit(input.value));
      input.checked = input.value === root.dataset.unit;
    });
    const chosen = document.querySelectorAll('input[name=layout]');
    chosen.forEach((input, i) => {
      input.checked = i === opens;
      input.addEventListener('change', () => choose(i));
    });
    const other = document.getElementById('other');
    other?.addEventListener('change', () => {
      const index = Number(other.value);
      if (panels[1]) panels.pop().remove();
      if (index >= 0) newPanel(index).viewer.follow(panels[0].viewer);
      stages.classList.toggle('two', index >= 0);
    });
    const printing = (what) => { root.dataset.print = what; print(); };
    document.getElementById('print').addEventListener('click', () => printing('one'));
    document.getElementById('print-all').addEventListener('click', () => printing('all'));
    addEventListener('beforeprint', () => { if (panels.length) pictures(panels[0], layouts, data, root.dataset.print === 'all'); });
    addEventListener('afterprint', () => { root.dataset.print = 'one'; });
    document.querySelectorAll('table').forEach(headed);
  }

  start();
  fitHeights();
  root.dataset.print = 'one';
  root.classList.add('js');
  if (layouts.length) {
    choose(opens);
    try {
      newPanel(opens);
    } catch {
      document.querySelector('.compare')?.remove();
      stages.replaceChildren(element('p', { class: 'hint' }, 'This browser has no WebGL, so there is no 3D picture. The drawings below show the same.'));
    }
  }
}
