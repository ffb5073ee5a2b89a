// The picture with its buttons. Every control is a plain form element, so that mouse,
// touch and keyboard all work.
import { facts } from './facts.js';
import { distance, Picking } from './pick.js';
import { DIRECTIONS, Viewer } from './viewer.js';

let count = 0;

export function element(tag, attributes = {}, ...children) {
  const e = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith('on')) e.addEventListener(name.slice(2), value);
    else if (value === true) e.setAttribute(name, '');
    else if (value !== false) e.setAttribute(name, value);
  }
  e.append(...children);
  return e;
}

const button = (text, press, more = {}) => element('button', { type: 'button', onclick: press, ...more }, text);

function labelled(text, control) {
  return element('label', {}, element('span', {}, text), control);
}

function slider(label, max, step, value, change, more = {}) {
  const input = element('input', { type: 'range', min: 0, max, step, value, oninput: () => change(Number(input.value)), ...more });
  return [labelled(label, input), input];
}

function group(title, ...children) {
  return element('fieldset', {}, element('legend', {}, title), ...children);
}

const AXES = [['', 'no cut'], ['z', 'level, from the top'], ['y', 'along, from the right'], ['x', 'across, from the front']];

export class Panel {
  constructor(data, moved) {
    this.data = data;
    this.id = ++count;
    this.canvas = element('canvas', { tabindex: 0, role: 'img' });
    const plates = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
    plates.setAttribute('class', 'plates');
    plates.setAttribute('aria-hidden', 'true'); // the picture's label and the tables tell the same
    this.box = element('div', { class: 'stage' }, this.canvas, plates);
    this.viewer = new Viewer(this.canvas, plates, data, moved);
    this.play = new Play(this);
    this.joining = new Joining(this);
    this.told = new Told(this);
    this.measured = new Measured(this);
    this.picking = new Picking(this.viewer, { box: (i) => this.told.choose(i), points: (list) => this.measured.tell(list) });
    this.viewer.onshow = () => this.picking.draw();
    const [apart] = slider('Pull apart', 1, 0.01, 0, (v) => this.viewer.set({ apart: v * 1.2 }), { name: 'apart' });
    const [cut, cutInput] = slider('Where', 1, 0.005, 1, (v) => this.viewer.set({ cut: v }), { name: 'cut', disabled: true });
    const axis = element('select', { name: 'axis', onchange: () => {
      cutInput.disabled = !axis.value;
      this.viewer.set({ axis: axis.value });
    } }, ...AXES.map(([value, text]) => element('option', { value }, text)));
    const tick = (text, name, on) => {
      const input = element('input', { type: 'checkbox', name, checked: on, onchange: () => this.viewer.set({ [name]: input.checked }) });
      return element('label', { class: 'tick' }, input, text);
    };
    this.rack = tick('rack', 'rack', true);
    const veiled = data.solids.some((s) => s.swept) ? ' A violet veil: what moving parts sweep, and the road.' : '';
    this.list = element('div', { class: 'ticks' });
    this.title = element('p', { class: 'stage-title' });
    this.node = element('div', { class: 'viewer' },
      this.title, this.box,
      element('p', { class: 'hint' }, 'Drag to turn, click a box to be told of it. With the picture in focus: arrow keys turn, + and − or the wheel zoom. From the sides there is no perspective: what is equally long looks equally long. Nearer, words on the faces tell them apart. In red: the clearance, and the gap that it needs.' + veiled),
      element('div', { class: 'controls' },
        group('Look from', ...Object.keys(DIRECTIONS).map((d) => button(d, () => this.viewer.look(d), { 'data-look': d }))),
        group('Turn and zoom',
          ...[['left', '◀', -0.26, 0], ['right', '▶', 0.26, 0], ['up', '▲', 0, 0.26], ['down', '▼', 0, -0.26]]
            .map(([word, sign, r, u]) => button(sign, () => this.viewer.turn(r, u), { 'aria-label': `turn ${word}`, 'data-turn': word })),
          button('+', () => this.viewer.turn(0, 0, 1.2), { 'aria-label': 'nearer', 'data-turn': 'nearer' }),
          button('−', () => this.viewer.turn(0, 0, 1 / 1.2), { 'aria-label': 'farther', 'data-turn': 'farther' })),
        this.play.node,
        this.joining.node,
        this.told.node,
        this.measured.node,
        group('Cut', labelled('Which way', axis), cut),
        group('Show', apart, tick('tightest place', 'tightest', true), tick('required gaps', 'gaps', false), tick('names of rails and keep-outs', 'names', true), this.rack),
        element('details', { class: 'names' }, element('summary', {}, 'Hide by name'), this.list)));
  }

  show(layout) {
    this.layout = layout;
    this.viewer.show(layout);
    const unit = document.documentElement.dataset.unit;
    this.title.textContent = layout.title[unit];
    this.canvas.setAttribute('aria-label', layout.alt[unit]);
    this.rack.hidden = !layout.rack;
    this.play.load(layout);
    this.joining.load(layout);
    this.told.load(layout);
    this.picking.clear();
    this.list.replaceChildren(...this.viewer.names().map((name) => {
      const input = element('input', { type: 'checkbox', checked: !this.viewer.hidden.has(name), onchange: () => this.viewer.hide(name, !input.checked) });
      return element('label', { class: 'tick' }, input, name);
    }));
  }
}

/** Plays the order in, leg by leg. Place n of the slider is before leg n. */
class Play {
  constructor(panel) {
    this.panel = panel;
    [this.label, this.input] = slider('Moves done', 0, 1, 0, (v) => this.to(v), { name: 'order' });
    this.words = element('p', { class: 'now', role: 'status' });
    this.room = element('div', { class: 'room' }, this.words); // of the longest words, so that nothing jumps
    this.button = button('Play', () => this.toggle(), { 'data-play': 'play' });
    this.node = group('Put the boxes in',
      button('Empty', () => this.to(0), { 'data-play': 'empty' }),
      button('Back', () => this.go(-1), { 'data-play': 'back' }),
      this.button,
      button('Next', () => this.go(1), { 'data-play': 'on' }),
      button('All in', () => this.to(this.last), { 'data-play': 'all' }),
      this.label, this.room);
  }

  load(layout) {
    this.stop();
    this.layout = layout;
    this.last = layout.legs.length;
    this.input.max = this.last;
    this.node.hidden = this.last === 0;
    this.node.querySelector('legend').textContent = layout.rack ? 'Build it' : 'Put the boxes in';
    const unit = document.documentElement.dataset.unit;
    this.room.dataset.longest = layout.legs.map((leg) => leg.words[unit]).concat(layout.done).reduce((a, b) => (b.length > a.length ? b : a), '');
    this.to(this.last);
  }

  /** Jumps to a place. */
  to(at) {
    this.stop();
    this.put(at);
  }

  put(at) {
    this.at = at;
    this.input.value = Math.round(at);
    this.panel.viewer.set({ at });
    this.tell(Math.round(at));
  }

  tell(at) {
    const unit = document.documentElement.dataset.unit;
    const leg = this.layout.legs[at];
    if (this.last === 0) this.words.textContent = '';
    else this.words.textContent = leg ? leg.words[unit] : this.layout.done;
    this.input.setAttribute('aria-valuetext', this.words.textContent);
  }

  /** Moves one leg on or back, by and by where motion is welcome. */
  go(by) {
    this.stop();
    this.glide(Math.min(this.last, Math.max(0, Math.round(this.at) + by)));
  }

  glide(goal, then = () => {}) {
    const from = this.at, length = matchMedia('(prefers-reduced-motion: reduce)').matches ? 0 : 450;
    let began;
    this.tell(Math.min(from, goal));
    const frame = (now) => {
      began ??= now;
      const part = length ? Math.min(1, (now - began) / length) : 1;
      if (part < 1) {
        this.at = from + (goal - from) * part;
        this.panel.viewer.set({ at: this.at });
        this.moving = requestAnimationFrame(frame);
        return;
      }
      this.put(goal);
      then();
    };
    this.moving = requestAnimationFrame(frame);
  }

  toggle() {
    if (this.playing) {
      this.stop();
      return;
    }
    if (this.at >= this.last) this.put(0);
    this.playing = true;
    this.button.textContent = 'Pause';
    this.next();
  }

  next() {
    if (!this.playing) return;
    if (this.at >= this.last) {
      this.stop();
      return;
    }
    this.glide(Math.floor(this.at) + 1, () => { this.timer = setTimeout(() => this.next(), 700); });
  }

  stop() {
    cancelAnimationFrame(this.moving);
    clearTimeout(this.timer);
    this.playing = false;
    this.button.textContent = 'Play';
  }
}

/** Tells of one box: chosen by a click in the picture, or by name. */
class Told {
  constructor(panel) {
    this.panel = panel;
    this.select = element('select', { name: 'box', onchange: () => this.choose(Number(this.select.value)) });
    this.list = element('div', { 'aria-live': 'polite' });
    this.node = group('A box', labelled('Which', this.select), this.list);
  }

  load(layout) {
    this.layout = layout;
    this.select.replaceChildren(...['click one, or choose', ...layout.boxes.map((b) => b.name)].map((name, i) => element('option', { value: i - 1 }, name)));
    this.choose(this.chosen < layout.boxes.length ? this.chosen : -1);
  }

  choose(number) {
    this.chosen = number ?? -1;
    this.select.value = this.chosen;
    this.panel.viewer.choose(this.chosen);
    const article = document.querySelectorAll('article.layout')[this.layout.number];
    this.list.replaceChildren(...(this.chosen < 0 ? [] : [facts(article, this.layout, this.chosen)]));
  }
}

/** Tells how far two points are apart that are clicked in the picture. */
class Measured {
  constructor(panel) {
    this.panel = panel;
    this.button = button('Click two points', () => this.toggle(), { 'aria-pressed': 'false', 'data-measure': 'on' });
    this.words = element('p', { class: 'now', role: 'status' });
    this.node = group('Distance', this.button, button('Clear', () => panel.picking.clear(), { 'data-measure': 'clear' }), this.words);
  }

  toggle() {
    const { picking } = this.panel;
    picking.measuring = !picking.measuring;
    this.button.setAttribute('aria-pressed', String(picking.measuring));
    this.tell(picking.points);
  }

  tell(points) {
    if (points.length === 2) {
      const told = distance(...points)[document.documentElement.dataset.unit];
      this.words.textContent = `${told.whole}: ${told.parts}`;
    } else if (points.length) this.words.textContent = 'Now the other point. Near a corner of a box it is that corner.';
    else this.words.textContent = this.panel.picking?.measuring ? 'Click the first point in the picture.' : '';
  }
}

/** Makes the connections one by one. Place n of the slider is before step n. */
class Joining {
  constructor(panel) {
    this.panel = panel;
    [this.label, this.input] = slider('Steps done', 0, 1, 0, (v) => this.to(v), { name: 'joining' });
    this.words = element('p', { class: 'now', role: 'status' });
    this.node = group('Make the connections',
      button('None', () => this.to(0), { 'data-join': 'none' }),
      button('Back', () => this.to(this.at - 1), { 'data-join': 'back' }),
      button('Next connection', () => this.to(this.at + 1), { 'data-join': 'on' }),
      button('All made', () => this.to(this.last), { 'data-join': 'all' }),
      this.label, this.words);
  }

  load(layout) {
    this.steps = layout.joining;
    this.last = this.steps.length;
    this.input.max = this.last;
    this.node.hidden = this.last === 0;
    this.to(this.last);
  }

  to(at) {
    this.at = Math.min(this.last, Math.max(0, at));
    this.input.value = this.at;
    this.panel.viewer.set({ joined: this.at === this.last ? Infinity : this.at });
    const next = this.steps[this.at];
    this.words.textContent = next ? `Next: ${next.words}` : 'All connections are made.';
    this.input.setAttribute('aria-valuetext', this.words.textContent);
  }
}
