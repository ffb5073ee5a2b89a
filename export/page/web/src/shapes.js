// What is moved and typed of the frame: corners, tubes, boxes and round bars, and their widths.
import { button, make, number, SVG, tenth } from './make.js';

const LINGER = 400; // ms after an arrow key
const CORNERS = { outline: 'corner', path: 'point', box: 'corner', round: 'end' };

/** The place of an axis among the lengths of a point; −1 for none: an outline has no y. */
const indexOf = (point, axis) => (point.length === 3 ? axis : [0, -1, 1][axis]);

export class Shapes {
  /** flats are the drawings; on: {change(shape), which tells whether it was done; say(words)}. */
  constructor(node, flats, on) {
    Object.assign(this, { flats, on, shapes: [], shape: null, adding: false });
    this.pick = make('select', { 'aria-label': 'What to change' });
    this.pick.addEventListener('change', () => this.choose(this.shapes[this.pick.value]));
    this.list = make('ol', { class: 'lengths', 'aria-label': 'Its points, in mm' });
    this.sizes = make('ul', { class: 'lengths', 'aria-label': 'Its widths, in mm' });
    this.anew = button('Trace anew', () => this.traceAnew());
    this.use = button('Use these corners', () => this.send());
    this.leave = button('Leave it as it was', () => this.choose(this.kept()));
    this.taped = make('p', { class: 'hint' }, 'It stands on marks: its points move with what you tape, in the frame file.');
    node.append(this.pick, this.taped, this.list, this.sizes, make('div', { class: 'tools' }, this.anew, this.use, this.leave));
    this.details = node.closest('details');
    this.details.addEventListener('toggle', () => this.draw());
    const { svg } = flats[0];
    svg.addEventListener('pointerdown', (e) => { if (this.taps(e)) e.stopImmediatePropagation(); }, { capture: true });
    svg.addEventListener('click', (e) => this.add(e));
    new ResizeObserver(() => this.draw()).observe(svg);
  }

  /** Takes up the shapes of another frame; what was chosen stays so. */
  load(shapes) {
    this.shapes = shapes;
    this.pick.replaceChildren(...shapes.map((s, i) => make('option', { value: i }, s.name)));
    const now = this.kept() ?? shapes[0];
    if (now) this.pick.value = shapes.indexOf(now);
    this.missed = this.busy();
    if (!this.missed) this.choose(now);
  }

  /** Whether the shape is worked on, so that what the frame has now would take the hand's work away. */
  busy() { return Boolean(this.adding || this.underWay()); }

  /** Whether what the hand did is still to be sent, or to be answered. */
  underWay() { return Boolean(this.held || this.soon || this.sending); }

  /** Takes up what came while the shape was worked on. */
  rest() {
    if (this.missed && !this.busy()) this.choose(this.kept());
  }

  /** The chosen shape as the frame has it. */
  kept() { return this.shapes.find((s) => s.list === this.shape?.list && s.index === this.shape.index); }

  choose(shape) {
    this.shape = shape ? structuredClone({ ...shape, points: shape.points ?? [], sizes: shape.sizes ?? [] }) : null;
    this.adding = this.missed = false;
    this.typed();
    this.draw();
  }

  traceAnew() {
    this.shape.points = [];
    this.adding = true;
    this.on.say('Tap the corners in the view from the right, one after the other; then use them.');
    this.typed();
    this.draw();
  }

  taps(e) { return this.adding && !e.target.classList.contains('handle'); }

  add(e) {
    if (!this.taps(e)) return;
    const [flat] = this.flats, [x, y] = flat.at(e);
    this.shape.points.push([tenth(x), tenth(y + flat.top)]);
    this.typed();
    this.draw();
  }

  /** Puts the shape on the bench. What cannot be goes back to what it was; a tracing stays, to be mended. */
  async send() {
    clearTimeout(this.soon);
    this.soon = null;
    const { shape } = this, traced = this.adding;
    this.sending = (this.sending ?? 0) + 1;
    const done = await this.on.change(shape);
    this.sending--;
    if (shape === this.shape) {
      if (done) this.adding = false;
      else if (!traced) this.choose(this.kept());
      this.typed();
    }
    this.rest();
  }

  /** The fields of all lengths. They stay as long as they are of the same lengths, for one may be typed in. */
  typed() {
    const { shape } = this, fields = this.fields(), labels = fields.map((f) => f.label).join();
    if (labels !== this.labels) {
      this.labels = labels;
      fields.forEach((f) => { f.input = number(f.label, '', (v) => this.type(f, v)); });
      this.inputs = fields.map((f) => f.input);
      const items = (shape?.points ?? []).map((_, i) => make('li', {}, ...fields.filter((f) => f.point === i).map((f) => make('label', {}, f.name, f.input))));
      this.list.replaceChildren(...items);
      this.sizes.replaceChildren(...fields.filter((f) => f.point === undefined).map((f) => make('li', {}, make('label', {}, f.name, f.input))));
    }
    this.inputs.forEach((input, i) => {
      const now = String(tenth(100 * fields[i].get()) / 100);
      if (input !== document.activeElement || input.value === input.dataset.was) input.value = now;
      input.dataset.was = now;
    });
    this.taped.hidden = this.adding || !shape || shape.points.length > 0;
    this.anew.hidden = this.adding || shape?.form !== 'outline' || !shape.points.length;
    this.use.hidden = this.leave.hidden = !this.adding;
  }

  /** What can be typed: a name, what it is read aloud as, and how it is got and set in the shape of the moment. */
  fields() {
    const { shape } = this, axes = shape?.form === 'outline' ? ['x', 'z'] : ['x', 'y', 'z'];
    return [
      ...(shape?.points ?? []).flatMap((_, point) => axes.map((name, k) => ({
        name, point, label: `${name} of ${CORNERS[shape.form]} ${point + 1} in mm`,
        get: () => this.shape.points[point][k], set: (v) => { this.shape.points[point][k] = v; },
      }))),
      ...(shape?.sizes ?? []).map(({ name }, i) => ({
        name, label: `${name} in mm`, get: () => this.shape.sizes[i].mm, set: (v) => { this.shape.sizes[i].mm = v; },
      })),
    ];
  }

  type(field, v) {
    if (!Number.isFinite(v)) return;
    field.set(v);
    this.draw();
    if (!this.adding) this.send();
  }

  /** Draws the shape and its handles in every drawing that shows its points. */
  draw() {
    this.flats.forEach((flat) => {
      const focused = [...flat.over.children].indexOf(document.activeElement);
      flat.over.replaceChildren();
      if (!this.details.open || !this.shape) return;
      const { points } = this.shape, [u, v] = [flat.view.u, flat.view.v];
      if (points.some((p) => indexOf(p, u) < 0 || indexOf(p, v) < 0)) return;
      flat.over.append(this.line(flat), ...points.map((p, i) => this.handle(flat, p, i)));
      if (focused > 0) flat.over.children[focused]?.focus({ preventScroll: true });
    });
  }

  at(flat, p) { return [p[indexOf(p, flat.view.u)], flat.top - p[indexOf(p, flat.view.v)]]; }

  /** Where the outline of the shape runs in a drawing. */
  course(flat) {
    const places = this.shape.points.map((p) => this.at(flat, p));
    if (this.shape.form !== 'box') return places;
    const [[a, b], [c, d]] = places;
    return [[a, b], [c, b], [c, d], [a, d]];
  }

  line(flat) {
    const e = document.createElementNS(SVG, ['outline', 'box'].includes(this.shape.form) ? 'polygon' : 'polyline');
    e.setAttribute('class', 'traced');
    e.setAttribute('points', this.course(flat).map((p) => p.join()).join(' '));
    return e;
  }

  handle(flat, p, i) {
    const c = document.createElementNS(SVG, 'circle'), [cx, cy] = this.at(flat, p), what = CORNERS[this.shape.form];
    Object.entries({ class: 'handle', cx, cy, r: 12 / flat.scale, tabindex: 0, role: 'button', 'aria-label': `${what} ${i + 1}` }).forEach(([k, v]) => c.setAttribute(k, v));
    c.addEventListener('pointerdown', (e) => {
      e.stopPropagation();
      e.preventDefault();
      c.setPointerCapture(e.pointerId);
      const at = flat.at(e);
      this.held = [at[0] - cx, -at[1] - cy]; // the hand is not in the middle of the handle
      c.focus({ preventScroll: true });
    });
    c.addEventListener('pointermove', (e) => {
      if (!this.held) return;
      const [x, y] = flat.at(e);
      this.put(flat, c, p, [tenth(x - this.held[0]), tenth(flat.top - (-y - this.held[1]))]);
      this.moved = true;
    });
    ['pointerup', 'pointercancel'].forEach((n) => c.addEventListener(n, () => this.drop()));
    c.addEventListener('keydown', (e) => this.key(e, flat, c, p));
    return c;
  }

  drop() {
    this.held = null;
    this.typed();
    this.draw();
    if (this.moved && !this.adding) this.send();
    else this.rest();
    this.moved = false;
  }

  key(e, flat, c, p) {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
    if (!by) return;
    e.preventDefault();
    const step = e.shiftKey ? 10 : 1, [u, v] = [flat.view.u, flat.view.v].map((a) => p[indexOf(p, a)]);
    this.put(flat, c, p, [tenth(u + by[0] * step), tenth(v + by[1] * step)]);
    this.typed();
    clearTimeout(this.soon);
    if (!this.adding) this.soon = setTimeout(() => this.send(), LINGER);
  }

  /** Puts a point where a handle is, in all drawings. */
  put(flat, c, p, to) {
    [flat.view.u, flat.view.v].forEach((axis, k) => { p[indexOf(p, axis)] = to[k]; });
    this.flats.forEach((f) => {
      if (!f.over.firstChild) return;
      f.over.firstChild.setAttribute('points', this.course(f).map((q) => q.join()).join(' '));
      this.shape.points.forEach((q, i) => {
        const [cx, cy] = this.at(f, q), handle = f.over.children[i + 1];
        handle.setAttribute('cx', cx);
        handle.setAttribute('cy', cy);
      });
    });
  }
}
