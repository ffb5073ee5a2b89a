// Words over the picture: plates with letters of 12 pixels or more, none of which covers
// another one. What is measured finds room beside its place; the name of a box, where the
// words on its faces are too small, stands on a face of it or not at all.
import { FONT } from './labels.js';

const SVG = 'http://www.w3.org/2000/svg';
const MEASURE = { size: 14, high: 24 }, NAME = { size: 12, high: 18 };

const pen = document.createElement('canvas').getContext('2d');
const widths = new Map();

function widthOf(words, size) {
  const key = `${size} ${words}`;
  if (!widths.has(key)) {
    pen.font = `600 ${size}px ${FONT}`;
    widths.set(key, pen.measureText(words).width);
  }
  return widths.get(key);
}

function plateAt(x, y, words, style) {
  const wide = widthOf(words, style.size) + 12;
  return { left: x - wide / 2, right: x + wide / 2, top: y - style.high / 2, bottom: y + style.high / 2 };
}

// A pixel is left between two, for what is drawn is rounded.
const apart = (a, b) => a.right + 1 < b.left || b.right + 1 < a.left || a.bottom + 1 < b.top || b.bottom + 1 < a.top;

export class Plates {
  constructor(svg) {
    this.lines = svg.appendChild(document.createElementNS(SVG, 'path')); // below all plates
    this.svg = svg;
    this.pool = [];
  }

  /**
   * Puts plates into a picture of a size. measures have words and a place {x, y} each;
   * names have words, short ones, and places, the best first.
   */
  put(measures, names, width, height) {
    this.width = width;
    this.height = height;
    this.used = 0;
    this.leads = '';
    // What is measured must be seen as well.
    this.taken = measures.map(({ place: { x, y } }) => ({ left: x - 7, right: x + 7, top: y - 7, bottom: y + 7 }));
    measures.forEach((m) => this.measure(m));
    this.names(names);
    this.lines.setAttribute('d', this.leads);
    this.pool.slice(this.used).forEach((g) => { g.style.display = 'none'; });
  }

  free(plate) {
    return plate.left >= 2 && plate.top >= 2 && plate.right <= this.width - 2 && plate.bottom <= this.height - 2
      && this.taken.every((t) => apart(t, plate));
  }

  /** Looks farther and farther away from the place, from above it on both ways round. */
  measure({ words, place }) {
    for (let far = 24; far < this.width + this.height; far += 14) {
      for (let k = 0; k < 16; k++) {
        const angle = -Math.PI / 2 + Math.ceil(k / 2) * (k % 2 ? 1 : -1) * Math.PI / 8;
        const x = place.x + Math.cos(angle) * far * 1.8, y = place.y + Math.sin(angle) * far;
        const plate = plateAt(x, y, words, MEASURE);
        if (this.free(plate)) {
          this.taken.push(plate);
          this.draw(plate, words, 'plate-measure', place);
          return;
        }
      }
    }
  }

  /** Finds room for all short names first, then makes long ones of those that have room for it. */
  names(all) {
    const found = all.map(({ short, places }) => ({ text: short, plate: this.take(short, places) }));
    all.forEach(({ words, places }, i) => {
      const { plate } = found[i];
      if (!plate) return;
      this.taken.splice(this.taken.indexOf(plate), 1);
      const long = this.take(words, places);
      if (long) found[i] = { text: words, plate: long };
      else this.taken.push(plate);
    });
    found.forEach(({ text, plate }, i) => { if (plate) this.draw(plate, text, all[i].thing ? 'plate-thing' : 'plate-name'); });
  }

  /** Takes the first of some places where there is room. */
  take(text, places) {
    const plate = places.map(({ x, y }) => plateAt(x, y, text, NAME)).find((p) => this.free(p));
    if (plate) this.taken.push(plate);
    return plate;
  }

  draw(plate, words, style, place) {
    const g = this.next(), [rect, text] = g.children;
    const x = (plate.left + plate.right) / 2, y = (plate.top + plate.bottom) / 2;
    g.style.display = '';
    g.setAttribute('class', style);
    if (place) this.leads += `M${place.x.toFixed(1)} ${place.y.toFixed(1)}L${x.toFixed(1)} ${y.toFixed(1)}`;
    rect.setAttribute('x', plate.left.toFixed(1));
    rect.setAttribute('y', plate.top.toFixed(1));
    rect.setAttribute('width', (plate.right - plate.left).toFixed(1));
    rect.setAttribute('height', plate.bottom - plate.top);
    text.setAttribute('x', x.toFixed(1));
    text.setAttribute('y', (y + 0.5).toFixed(1));
    if (text.textContent !== words) text.textContent = words;
  }

  next() {
    if (this.used === this.pool.length) {
      const g = document.createElementNS(SVG, 'g');
      g.append(...['rect', 'text'].map((tag) => document.createElementNS(SVG, tag)));
      this.svg.append(g);
      this.pool.push(g);
    }
    return this.pool[this.used++];
  }
}
