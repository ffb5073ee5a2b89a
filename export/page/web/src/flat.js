// A flat drawing of the frame and the boxes, in which boxes can be dragged. Lengths are
// millimetres; u runs to the right of the drawing, v up, w towards who looks.
import { boundsOf, name, widthOf } from './names.js';

const SVG = 'http://www.w3.org/2000/svg';

export const VIEWS = [
  { name: 'From the right', u: 0, v: 2, w: [1, -1], wide: true },
  { name: 'From above', u: 0, v: 1, w: [2, 1] },
  { name: 'From the front', u: 1, v: 2, w: [0, 1] },
];

function svg(tag, attributes = {}, ...children) {
  const e = document.createElementNS(SVG, tag);
  Object.entries(attributes).forEach(([k, v]) => e.setAttribute(k, v));
  e.append(...children);
  return e;
}

/** The convex hull of points in the plane, by monotone chains (Andrew 1979). */
export function hull(points) {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list) => list.reduce((chain, p) => {
    const turn = (a, b) => (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
    while (chain.length > 1 && turn(chain.at(-2), chain.at(-1)) <= 0) chain.pop();
    return [...chain, p];
  }, []);
  const lower = half(sorted), upper = half(sorted.reverse());
  return [...lower.slice(0, -1), ...upper.slice(0, -1)];
}

const SMALL = 500; // pixels
const NONE = { size: [1, 1, 1], posts: [] }; // a kind that this scene has not yet

const add = (a, b, k = 1) => a.map((x, i) => x + k * b[i]);
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a) => { const n = Math.hypot(...a) || 1; return a.map((x) => x / n); };

/** Points whose hull is a solid of the scene, near enough to be looked at. */
function pointsOf(s) {
  if (s.radius) {
    const along = unit(add(s.to, s.from, -1));
    const p = unit(cross(along, Math.abs(along[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0])), q = cross(along, p);
    const ring = [...Array(32).keys()].map((i) => i * Math.PI / 16);
    return [s.from, s.to].flatMap((c) => ring.map((t) => add(add(c, p, s.radius * Math.cos(t)), q, s.radius * Math.sin(t))));
  }
  if (s.outline) return s.outline.flatMap(([x, z]) => s.across.map((y) => [x, y, z]));
  if (s.faces) return s.faces.flat();
  return [0, 1, 2, 3, 4, 5, 6, 7].map((i) => [0, 1, 2].map((a) => (i >> a & 1 ? s.high : s.low)[a]));
}

/** The corners of a bar in a box's own axes, as points of the vehicle. */
function corners(box, low, high) {
  return [0, 1, 2, 3, 4, 5, 6, 7].map((i) => [0, 1, 2].reduce((p, a) => add(p, box.axes[a], (i >> a & 1 ? high : low)[a]), box.centre));
}

function postCorners(box, t) {
  const end = add(t.at, t.axis, Math.max(t.height, 1));
  const spread = t.axis.map((c) => (Math.abs(c) > 0.5 ? 0 : t.radius));
  const low = t.at.map((c, i) => Math.min(c, end[i]) - spread[i]), high = t.at.map((c, i) => Math.max(c, end[i]) + spread[i]);
  return corners(box, low, high);
}

export class Flat {
  /** on: {choose(i), drag(i, centre, axes, begins, free), key(event, i, axes)}. */
  constructor(view, scene, on) {
    Object.assign(this, { view, on });
    this.svg = svg('svg', { role: 'group', 'aria-label': view.name });
    this.node = document.createElement('figure');
    this.node.classList.toggle('wide', Boolean(view.wide));
    const caption = document.createElement('figcaption');
    caption.textContent = view.name;
    this.node.append(caption, this.svg);
    [this.still, this.boxes, this.names, this.measures, this.over] = [0, 1, 2, 3, 4].map(() => this.svg.appendChild(svg('g')));
    ['pointermove', 'pointerup', 'pointercancel'].forEach((e) => this.svg.addEventListener(e, (event) => this.pointer(event)));
    new ResizeObserver(() => this.resized()).observe(this.svg);
    this.load(scene);
  }

  /** Draws what stands still of a scene; the boxes are drawn by show. */
  load(scene) {
    const { u, v } = this.view, edge = 30;
    const low = [scene.low[u] - edge, scene.low[v] - edge], high = [scene.high[u] + edge, scene.high[v] + edge];
    Object.assign(this, { scene, top: high[1], items: [], held: null });
    this.svg.dataset.top = this.top; // the height of its upper edge
    this.svg.setAttribute('viewBox', `${low[0]} 0 ${high[0] - low[0]} ${high[1] - low[1]}`);
    [this.still, this.boxes, this.names, this.measures].forEach((g) => g.replaceChildren());
    scene.solids.forEach((s) => this.thing(s));
    scene.rims.forEach((r) => r.lines.forEach((l) => this.still.append(svg('polyline', { class: r.open ? 'rim open' : 'rim', points: this.text(l) }))));
    this.resized();
  }

  /** A millimetre of the drawing in pixels of the screen. */
  get scale() { return this.svg.getScreenCTM()?.a || 1; }

  /** Words keep their size on the screen. */
  resized() {
    this.svg.style.setProperty('--px', 1 / this.scale);
    if (this.shown) this.show(...this.shown);
  }

  flat(p) { return [p[this.view.u], this.top - p[this.view.v]]; }

  text(points) { return points.map((p) => this.flat(p).map((c) => c.toFixed(2)).join()).join(' '); }

  outline(points) { return hull(points.map((p) => this.flat(p))).map((p) => p.map((c) => c.toFixed(2)).join()).join(' '); }

  thing(s) {
    const whole = s.outline && this.view.u === 0 && this.view.v === 2;
    const points = whole ? this.text(s.outline.map(([x, z]) => [x, 0, z])) : this.outline(pointsOf(s));
    this.still.append(svg('polygon', { class: s.swept ? 'thing swept' : 'thing', points }, svg('title', {}, s.name)));
  }

  /** Draws the boxes where a state has them. */
  show(state, chosen) {
    const layout = state.layout;
    this.shown = [state, chosen];
    while (this.items.length > layout.boxes.length) {
      const item = this.items.pop();
      item.node.remove();
      item.words.remove();
    }
    layout.boxes.forEach((b, i) => this.box(b, i, state.boxes[i], i === chosen));
    if (!this.held) this.sort();
    this.cover();
    this.showMeasures(layout.measures);
  }

  box(b, i, about, chosen) {
    const kind = this.scene.kinds[b.kind] ?? NONE, half = kind.size.map((c) => c / 2);
    const item = this.items[i] ?? this.newItem(i, kind), key = JSON.stringify([b, about, chosen, this.scale]);
    if (item.key === key) return; // most boxes stay while one is dragged
    item.key = key;
    item.shape.setAttribute('points', this.outline(corners(b, half.map((c) => -c), half)));
    item.shape.setAttribute('aria-label', `${b.name}${about.pinned ? ', pinned' : ''}${about.bad ? ', too near' : ''}`);
    item.shape.setAttribute('class', ['box', about.bad && 'bad', about.pinned && 'pinned', chosen && 'chosen'].filter(Boolean).join(' '));
    kind.posts.forEach((t, n) => {
      item.posts[n].setAttribute('points', this.outline(postCorners(b, t)));
      const [k, sign] = this.view.w, faces = [0, 1, 2].reduce((sum, a) => sum + t.axis[a] * b.axes[a][k], 0) * sign;
      item.posts[n].style.display = faces < -0.5 ? 'none' : '';
    });
    Object.assign(item, { middle: this.flat(b.centre), bounds: boundsOf(item.shape) });
    name(item.words, b, item.middle, item.bounds, this.scale);
    item.depth = b.centre[this.view.w[0]] * this.view.w[1];
  }

  newItem(i, kind) {
    const shape = svg('polygon', { tabindex: 0, role: 'button', 'data-box': i });
    const posts = kind.posts.map((t) => svg('polygon', { class: `post ${{ '+': 'plus', '-': 'minus' }[t.sign] ?? ''}` }));
    const words = svg('text', { 'aria-hidden': true });
    const item = { shape, posts, words, node: svg('g', {}, shape, ...posts) };
    this.names.append(words);
    shape.addEventListener('pointerdown', (e) => this.grab(e, i));
    shape.addEventListener('focus', () => this.on.choose(i));
    shape.addEventListener('keydown', (e) => this.on.key(e, i, [this.view.u, this.view.v]));
    this.boxes.append(item.node);
    return (this.items[i] = item);
  }

  /** Puts what is nearer over what is farther, without taking the focus from a box. */
  sort() {
    const order = [...this.items].sort((a, b) => a.depth - b.depth);
    if (order.every((item, i) => this.boxes.children[i] === item.node)) return;
    const focused = order.find((item) => item.shape === document.activeElement);
    order.forEach((item) => this.boxes.append(item.node));
    focused?.shape.focus({ preventScroll: true });
  }

  /** Names of boxes that others hide are left out: they would shine through. */
  cover() {
    this.items.forEach((item) => {
      const hidden = this.items.some((o) => o.depth > item.depth + 1 && [0, 1].every((k) => Math.abs(o.middle[k] - item.middle[k]) < o.bounds[k] / 2));
      item.words.style.display = hidden ? 'none' : '';
    });
  }

  /** The tightest clearances as lines with numbers, which lie over no name and not outside. */
  showMeasures(measures) {
    const { x, width, height } = this.svg.viewBox.baseVal, line = 16 / this.scale;
    const taken = this.items.filter((i) => i.words.style.display !== 'none').map((i) => ({ x: i.middle[0], y: i.middle[1], wide: widthOf(i.words.textContent) / this.scale }));
    const free = (a) => a.y > line / 2 && a.y < height - line / 2 && !taken.some((t) => Math.abs(t.y - a.y) < line && Math.abs(t.x - a.x) < (t.wide + a.wide) / 2);
    this.measures.replaceChildren(...measures.flatMap((m) => {
      const a = this.flat(m.from), b = this.flat(m.to), whole = m.words[document.documentElement.dataset.unit];
      const text = width * this.scale < SMALL ? whole.split(', ')[0] : whole; // the list tells the rest
      const wide = widthOf(text) / this.scale, middle = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
      const places = [-0.7, 0.8, -1.7, 1.8, -2.7, 2.8].map((rows) => ({ x: Math.min(Math.max(middle[0], x + wide / 2), x + width - wide / 2), y: middle[1] + rows * line, wide }));
      const at = places.find(free) ?? places[0];
      taken.push(at);
      const words = svg('text', { class: 'gap', x: at.x, y: at.y });
      words.textContent = text;
      return [svg('line', { class: 'measure', x1: a[0], y1: a[1], x2: b[0], y2: b[1] }), words];
    }));
  }

  at(e) {
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [p.x, -p.y];
  }

  grab(e, i) {
    if (e.button !== 0) return;
    this.on.choose(i);
    const centre = this.on.centre(i);
    if (!centre) return;
    this.held = { i, from: this.at(e), centre, begins: true };
    this.svg.setPointerCapture(e.pointerId);
  }

  pointer(e) {
    if (!this.held) return;
    if (e.type !== 'pointercancel') this.follow(e);
    if (e.type === 'pointermove') return;
    const { i } = this.held;
    this.held = null;
    this.on.choose(i);
  }

  /** Moves the box by all places where the hand was, also those that the browser put together. */
  follow(e) {
    const { held, view: { u, v } } = this, all = e.getCoalescedEvents?.() ?? [];
    (all.length ? all : [e]).forEach((one) => {
      const now = this.at(one), far = [now[0] - held.from[0], now[1] - held.from[1]];
      if (held.begins && !far[0] && !far[1]) return; // a click
      const centre = [...held.centre];
      centre[u] += Math.round(far[0] * 10) / 10;
      centre[v] += Math.round(far[1] * 10) / 10;
      this.on.drag(held.i, centre, [u, v], held.begins, e.altKey);
      held.begins = false;
    });
  }
}
