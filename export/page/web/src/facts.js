// What there is to know of one box: from the tables of its layout, which hold it in both units.
import { element } from './panel.js';

/** A list of facts on the box of a number: of its row, its posts, its step and its neighbours. */
export function facts(article, layout, number) {
  const box = layout.boxes[number], list = element('dl', { class: 'facts' });
  const add = (term, ...what) => { if (what.length) list.append(element('dt', {}, term), element('dd', {}, ...what)); };
  const copy = (e) => [...e.childNodes].map((n) => n.cloneNode(true));
  const table = article?.querySelector('table.boxes');
  const row = table?.tBodies[0].rows[number];
  [...(row?.cells ?? [])].slice(1).forEach((cell, i) => { if (cell.textContent) add(table.tHead.rows[0].cells[i + 1].textContent, ...copy(cell)); });
  const own = (selector) => [...(article?.querySelectorAll(selector) ?? [])].filter((e) => e.textContent.startsWith(`${box.name} `) || e.textContent.startsWith(`${box.name}:`));
  own('table.posts tbody tr').forEach((tr) => {
    const [post, sign, room] = tr.cells;
    add(`post ${post.textContent.slice(box.name.length + 1)} ${sign.textContent}`, ...copy(room));
  });
  (box.near ?? []).forEach(([name, mm, inches]) => add(`to ${name}`, element('span', { class: 'u-mm' }, mm), element('span', { class: 'u-in' }, inches)));
  const steps = [...(article?.querySelectorAll('ol.order li') ?? [])];
  own('ol.order li').forEach((li) => add(`goes in as ${steps.indexOf(li) + 1} of ${steps.length}`, ...copy(li)));
  return list;
}
