// A photo straightened by marks, behind the view from the right, to trace over. It stays in the
// browser: the server is told the marks alone.
import { button, make, number } from './make.js';

/** The product of two matrices of three by three, row by row. */
export function times(a, b) {
  return [0, 1, 2].flatMap((r) => [0, 1, 2].map((c) => a[3 * r] * b[c] + a[3 * r + 1] * b[3 + c] + a[3 * r + 2] * b[6 + c]));
}

export class Photo {
  /** flat is the view from the right; on: {straighten(marks), say(words)}. */
  constructor(node, flat, on) {
    Object.assign(this, { flat, on, marks: [] });
    const file = make('input', { type: 'file', accept: 'image/*', 'aria-label': 'Photo of the right side' });
    file.addEventListener('change', () => this.take(file.files[0]));
    this.sheet = make('div', { class: 'photo' });
    this.window = make('div', { class: 'photo-window', role: 'group', tabindex: 0, 'aria-label': 'The photo: scroll it where it is larger than here' }, this.sheet);
    this.places = make('ol', { class: 'lengths', 'aria-label': 'Marks on the photo, x and z in mm' });
    this.tools = make('div', { class: 'tools' }, button('Larger', () => this.zoom(2)), button('Smaller', () => this.zoom(0.5)), button('Set a mark in the middle', () => this.mark(this.middle())), button('Straighten', () => this.straighten()));
    this.tools.hidden = this.window.hidden = true;
    node.append(file, this.window, this.places, this.tools);
    new ResizeObserver(() => this.behind()).observe(flat.svg);
  }

  take(file) {
    if (!file) return;
    this.image = make('img', { alt: 'Your photo, as it was taken', src: URL.createObjectURL(file) });
    this.image.addEventListener('click', (e) => this.mark([e.offsetX / this.image.clientWidth, e.offsetY / this.image.clientHeight]));
    this.image.addEventListener('error', () => this.on.say('This browser cannot show that photo: save it as JPEG or PNG.'));
    this.marks = [];
    this.sheet.replaceChildren(this.image);
    this.tools.hidden = this.window.hidden = false;
    this.zoom(0);
    this.matrix = null;
    this.behind();
    this.showMarks();
  }

  /** Larger by a factor, up to the photo's own pixels twice over; what is in the middle stays there. 0: whole. */
  zoom(by) {
    const { window: w } = this, most = Math.max(1, 2 * this.image.naturalWidth / w.clientWidth);
    const middle = [(w.scrollLeft + w.clientWidth / 2) / w.scrollWidth, (w.scrollTop + w.clientHeight / 2) / w.scrollHeight];
    this.scale = Math.min(Math.max((this.scale ?? 1) * by, 1), most);
    this.sheet.style.width = `${100 * this.scale}%`;
    w.scrollTo(middle[0] * w.scrollWidth - w.clientWidth / 2, middle[1] * w.scrollHeight - w.clientHeight / 2);
  }

  /** The middle of what is seen of the photo, as a part of it. */
  middle() {
    const w = this.window.getBoundingClientRect(), r = this.image.getBoundingClientRect();
    const seen = (low, high, from, size) => ((Math.max(low, from) + Math.min(high, from + size)) / 2 - from) / size;
    return [seen(w.left, w.right, r.left, r.width), seen(w.top, w.bottom, r.top, r.height)];
  }

  /** Sets a mark at a part of the photo's width and height. */
  mark(part) {
    this.marks.push({ part, at: [NaN, NaN] });
    this.showMarks();
  }

  showMarks() {
    this.sheet.querySelectorAll('button').forEach((b) => b.remove());
    this.marks.forEach((m, i) => this.sheet.append(this.pin(m, i)));
    this.places.replaceChildren(...this.marks.map((m, i) => make('li', {},
      ...['x', 'z'].map((name, k) => make('label', {}, name, number(`${name} of mark ${i + 1} in mm`, Number.isFinite(m.at[k]) ? m.at[k] : '', (v) => { m.at[k] = v; }))),
      button('Remove', () => { this.marks.splice(i, 1); this.showMarks(); }))));
  }

  /** A mark on the photo, which can be dragged or moved by a pixel with the arrow keys. */
  pin(m, i) {
    const b = make('button', { type: 'button', class: 'mark', 'aria-label': `mark ${i + 1} on the photo` }, String(i + 1));
    const put = (part) => {
      m.part = part.map((v) => Math.min(1, Math.max(0, v)));
      b.style.left = `${100 * m.part[0]}%`;
      b.style.top = `${100 * m.part[1]}%`;
    };
    put(m.part);
    b.addEventListener('pointerdown', (e) => { b.setPointerCapture(e.pointerId); b.dataset.held = '1'; });
    b.addEventListener('pointermove', (e) => {
      const r = this.image.getBoundingClientRect();
      if (b.dataset.held) put([(e.clientX - r.left) / r.width, (e.clientY - r.top) / r.height]);
    });
    ['pointerup', 'pointercancel'].forEach((n) => b.addEventListener(n, () => { delete b.dataset.held; }));
    b.addEventListener('keydown', (e) => {
      const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
      if (!by) return;
      e.preventDefault();
      const step = e.shiftKey ? 10 : 1;
      put([m.part[0] + by[0] * step / this.image.naturalWidth, m.part[1] + by[1] * step / this.image.naturalHeight]);
    });
    return b;
  }

  async straighten() {
    if (this.marks.some((m) => !m.at.every(Number.isFinite))) {
      this.on.say('Type x and z of every mark first.');
      return;
    }
    const { naturalWidth: w, naturalHeight: h } = this.image;
    const lies = await this.on.straighten(this.marks.map((m) => ({ pixel: [m.part[0] * w, m.part[1] * h], at: m.at })));
    if (!lies) return;
    this.matrix = lies.matrix;
    this.behind();
    const worst = lies.off.indexOf(Math.max(...lies.off));
    this.on.say(this.marks.length > 4 ? `The photo lies behind the view from the right. Mark ${worst + 1} is farthest off: ${lies.off[worst].toFixed(1)} pixels.`
      : 'The photo lies behind the view from the right. Four marks do not check each other: a fifth would.');
  }

  /** Puts the photo behind the view, where its pixels are at their places. */
  behind() {
    this.layer?.remove();
    if (!this.matrix) return;
    const { flat } = this, r = flat.svg.getBoundingClientRect(), f = flat.node.getBoundingClientRect(), m = flat.svg.getScreenCTM();
    const p = times([m.a, 0, m.e - r.left, 0, -m.d, m.d * flat.top + m.f - r.top, 0, 0, 1], this.matrix);
    const image = make('img', { alt: '', src: this.image.src });
    image.style.transform = `matrix3d(${[p[0], p[3], 0, p[6], p[1], p[4], 0, p[7], 0, 0, 1, 0, p[2], p[5], 0, p[8]].join()})`;
    this.layer = make('div', { class: 'behind' }, image);
    Object.assign(this.layer.style, { left: `${r.left - f.left}px`, top: `${r.top - f.top}px`, width: `${r.width}px`, height: `${r.height}px` });
    flat.svg.before(this.layer);
  }
}
