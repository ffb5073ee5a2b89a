// Corners of the frame moved over the view from the right, and a photo straightened behind it.
const SVG = 'http://www.w3.org/2000/svg';
const OPEN = 'bench-corners';
const KEPT = 'bench-before'; // what shapes were before they were written, to be had back

function make(tag, attributes = {}, ...children) {
  const e = document.createElement(tag);
  Object.entries(attributes).forEach(([k, v]) => { if (v === false) return; e.setAttribute(k, v); });
  e.append(...children);
  return e;
}

function button(words, act) {
  const b = make('button', { type: 'button' }, words);
  b.addEventListener('click', act);
  return b;
}

function number(label, value, changed) {
  const input = make('input', { type: 'number', step: 'any', 'aria-label': label, value: value ?? '' });
  input.addEventListener('change', () => changed(input.valueAsNumber));
  return input;
}

const tenth = (v) => Math.round(v * 10) / 10;

/** The product of two matrices of three by three, row by row. */
export function times(a, b) {
  return [0, 1, 2].flatMap((r) => [0, 1, 2].map((c) => a[3 * r] * b[c] + a[3 * r + 1] * b[3 + c] + a[3 * r + 2] * b[6 + c]));
}

export class Trace {
  /** flat is the view from the right; token lets the page ask the server. */
  constructor(flat, token) {
    Object.assign(this, { flat, token, shapes: [], shape: null, marks: [], adding: false });
    this.build();
    this.handles = flat.svg.appendChild(document.createElementNS(SVG, 'g'));
    flat.svg.addEventListener('pointerdown', (e) => this.add(e), { capture: true });
    addEventListener('resize', () => { this.behind(); this.draw(); });
    this.load();
  }

  build() {
    this.pick = make('select', { 'aria-label': 'What to change' });
    this.pick.addEventListener('change', () => this.choose(this.shapes[this.pick.value]));
    this.list = make('ol', { class: 'corners', 'aria-label': 'Corners, x and z in mm' });
    this.said = make('p', { role: 'status' });
    this.anew = button('Trace anew', () => this.traceAnew());
    this.write = button('Write into the frame file', () => this.save(this.shape, true));
    this.back = button('Write back what it was', () => this.undo());
    this.file = make('input', { type: 'file', accept: 'image/*', 'aria-label': 'Photo of the right side' });
    this.file.addEventListener('change', () => this.photo(this.file.files[0]));
    this.sheet = make('div', { class: 'photo' });
    this.places = make('ol', { class: 'corners', 'aria-label': 'Marks on the photo, x and z in mm' });
    this.more = button('Set a mark in the middle', () => this.mark([0.5, 0.5]));
    this.straight = button('Straighten', () => this.straighten());
    this.more.hidden = this.straight.hidden = true;
    const photo = make('details', {}, make('summary', {}, 'A photo to trace over'),
      make('p', { class: 'hint' }, 'Taken from the right, from as far as you can. Tap four or more places on it that you have measured, far apart, and type where they are. What lies nearer or farther than these is not straightened.'),
      this.file, this.sheet, this.places, make('div', { class: 'tools' }, this.more, this.straight));
    const corners = make('details', {}, make('summary', {}, 'Corners of the frame'),
      make('p', { class: 'hint' }, 'Drag the round handles in the view from the right, move them with the arrow keys, or type. Measure again what you have only traced.'),
      this.pick, this.list, make('div', { class: 'tools' }, this.anew, this.write, this.back));
    corners.addEventListener('toggle', () => {
      this.open = corners.open;
      sessionStorage.setItem(OPEN, corners.open ? '1' : '');
      this.draw();
    });
    corners.open = Boolean(sessionStorage.getItem(OPEN)); // the page is loaded anew when a file was written
    document.getElementById('chosen').after(make('section', { id: 'trace', 'aria-label': 'The frame' }, corners, photo, this.said));
    this.back.disabled = !this.before().length;
  }

  say(words) { this.said.textContent = words; }

  async ask(what, asked) {
    try {
      const answer = await fetch(what, asked === undefined ? {} : { method: 'POST', headers: { 'X-Token': this.token, 'Content-Type': 'application/json' }, body: JSON.stringify(asked) });
      if (answer.ok) return await answer.json();
      this.say((await answer.text()).trim());
    } catch {
      this.say('The bench does not answer.');
    }
    return null;
  }

  async load() {
    this.shapes = await this.ask(`shapes?token=${encodeURIComponent(this.token)}`) ?? [];
    this.pick.replaceChildren(...this.shapes.map((s, i) => make('option', { value: i }, s.name)));
    this.choose(this.shapes[0]);
  }

  choose(shape) {
    this.shape = shape ? structuredClone(shape) : null;
    this.adding = false;
    this.write.disabled = this.anew.disabled = !shape;
    this.anew.hidden = !shape?.closed;
    this.typed();
    this.draw();
  }

  traceAnew() {
    this.shape.points = [];
    this.adding = true;
    this.say('Tap the corners in the view from the right, one after the other. Then write them.');
    this.typed();
    this.draw();
  }

  add(e) {
    if (!this.adding || e.button !== 0 || e.target.classList.contains('handle')) return;
    e.stopImmediatePropagation();
    e.preventDefault();
    this.shape.points.push(this.place(e));
    this.typed();
    this.draw();
  }

  place(e) {
    const [x, y] = this.flat.at(e);
    return [tenth(x), tenth(y + this.flat.top)];
  }

  typed() {
    const points = this.shape?.points ?? [];
    this.list.replaceChildren(...points.map((p, i) => make('li', {},
      ...['x', 'z'].map((name, k) => number(`${name} of corner ${i + 1} in mm`, p[k], (v) => { if (Number.isFinite(v)) { p[k] = v; this.draw(); } })))));
  }

  draw() {
    const focused = [...this.handles.children].indexOf(document.activeElement);
    this.handles.replaceChildren();
    if (!this.open || !this.shape) return;
    const { points, closed } = this.shape, at = ([x, z]) => [x, this.flat.top - z];
    const line = document.createElementNS(SVG, closed ? 'polygon' : 'polyline');
    line.setAttribute('class', 'traced');
    line.setAttribute('points', points.map((p) => at(p).join()).join(' '));
    const size = 12 / (this.flat.svg.getScreenCTM()?.a || 1);
    this.handles.append(line, ...points.map((p, i) => this.handle(p, i, at(p), size)));
    if (focused > 0) this.handles.children[focused]?.focus({ preventScroll: true });
  }

  handle(p, i, [x, y], size) {
    const c = document.createElementNS(SVG, 'circle');
    Object.entries({ class: 'handle', cx: x, cy: y, r: size, tabindex: 0, role: 'button', 'aria-label': `corner ${i + 1}` }).forEach(([k, v]) => c.setAttribute(k, v));
    c.addEventListener('pointerdown', (e) => { e.stopPropagation(); e.preventDefault(); c.setPointerCapture(e.pointerId); c.dataset.held = '1'; c.focus({ preventScroll: true }); });
    c.addEventListener('pointermove', (e) => { if (c.dataset.held) this.put(c, p, this.place(e)); });
    ['pointerup', 'pointercancel'].forEach((n) => c.addEventListener(n, () => { delete c.dataset.held; this.typed(); this.draw(); }));
    c.addEventListener('keydown', (e) => {
      const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
      if (!by) return;
      e.preventDefault();
      this.put(c, p, p.map((v, k) => tenth(v + by[k] * (e.shiftKey ? 10 : 1))));
      this.typed();
    });
    return c;
  }

  put(c, p, to) {
    [p[0], p[1]] = to;
    c.setAttribute('cx', p[0]);
    c.setAttribute('cy', this.flat.top - p[1]);
    c.parentNode.firstChild.setAttribute('points', this.shape.points.map((q) => `${q[0]},${this.flat.top - q[1]}`).join(' '));
  }

  before() { return JSON.parse(sessionStorage.getItem(KEPT) ?? '[]'); }

  async save(shape, keep) {
    const was = this.shapes.find((s) => s.list === shape.list && s.index === shape.index);
    const kept = this.before();
    sessionStorage.setItem(KEPT, JSON.stringify(keep ? [...kept, was] : kept.slice(0, -1))); // first, for the page is loaded anew
    if (!await this.ask('shape', shape)) sessionStorage.setItem(KEPT, JSON.stringify(kept));
  }

  undo() {
    const last = this.before().at(-1);
    if (last) this.save(last, false);
  }

  photo(file) {
    if (!file) return;
    this.image = make('img', { alt: 'Your photo, as it was taken', src: URL.createObjectURL(file) });
    this.image.addEventListener('click', (e) => this.mark([e.offsetX / this.image.clientWidth, e.offsetY / this.image.clientHeight]));
    this.image.addEventListener('error', () => this.say('This browser cannot show that photo: save it as JPEG or PNG.'));
    this.marks = [];
    this.sheet.replaceChildren(this.image);
    this.more.hidden = this.straight.hidden = false;
    this.matrix = null;
    this.behind();
    this.showMarks();
  }

  mark(part) {
    this.marks.push({ part, at: [NaN, NaN] });
    this.showMarks();
  }

  showMarks() {
    this.sheet.querySelectorAll('button').forEach((b) => b.remove());
    this.marks.forEach((m, i) => this.sheet.append(this.pin(m, i)));
    this.places.replaceChildren(...this.marks.map((m, i) => make('li', {},
      ...['x', 'z'].map((name, k) => number(`${name} of mark ${i + 1} in mm`, Number.isFinite(m.at[k]) ? m.at[k] : '', (v) => { m.at[k] = v; })),
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
    b.addEventListener('pointerup', () => { delete b.dataset.held; });
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
      this.say('Type x and z of every mark first.');
      return;
    }
    const { naturalWidth: w, naturalHeight: h } = this.image;
    const lies = await this.ask('straighten', this.marks.map((m) => ({ pixel: [m.part[0] * w, m.part[1] * h], at: m.at })));
    if (!lies) return;
    this.matrix = lies.matrix;
    this.behind();
    const worst = lies.off.indexOf(Math.max(...lies.off));
    this.say(this.marks.length > 4 ? `The photo lies behind the view from the right. Mark ${worst + 1} is farthest off: ${lies.off[worst].toFixed(1)} pixels.`
      : 'The photo lies behind the view from the right. Four marks do not check each other: a fifth would.');
  }

  /** Puts the photo behind the view, where its pixels are at their places. */
  behind() {
    this.layer?.remove();
    if (!this.matrix) return;
    const r = this.flat.svg.getBoundingClientRect(), f = this.flat.node.getBoundingClientRect(), m = this.flat.svg.getScreenCTM();
    const p = times([m.a, 0, m.e - r.left, 0, -m.d, m.d * this.flat.top + m.f - r.top, 0, 0, 1], this.matrix);
    const image = make('img', { alt: '', src: this.image.src });
    image.style.transform = `matrix3d(${[p[0], p[3], 0, p[6], p[1], p[4], 0, p[7], 0, 0, 1, 0, p[2], p[5], 0, p[8]].join()})`;
    this.layer = make('div', { class: 'behind' }, image);
    Object.assign(this.layer.style, { left: `${r.left - f.left}px`, top: `${r.top - f.top}px`, width: `${r.width}px`, height: `${r.height}px` });
    this.flat.svg.before(this.layer);
  }
}
