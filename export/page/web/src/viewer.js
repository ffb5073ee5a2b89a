// One 3D view of one layout. It draws only when something has changed.
import * as THREE from 'three';
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';
import { newLook } from './look.js';
import * as parts from './parts.js';
import { Plates } from './plates.js';
import { Rack } from './rack.js';
import { Sight } from './sight.js';
import { namesOf } from './things.js';

/** Where one may look from. All but the first are without perspective, as drawings are. */
export const DIRECTIONS = {
  slanted: [0.75, -1.1, 0.7], right: [0, -1, 0], left: [0, 1, 0], front: [1, 0, 0], rear: [-1, 0, 0],
  top: [0, -0.0005, 1], underneath: [0, -0.0005, -1],
};

export class Viewer {
  constructor(canvas, plates, data, moved) {
    this.data = data;
    this.canvas = canvas;
    this.plates = new Plates(plates);
    this.hidden = new Set();
    this.renderer = new THREE.WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.perspective = new THREE.PerspectiveCamera(32, 1, 10, 20000);
    this.parallel = new THREE.OrthographicCamera(-1, 1, 1, -1, 10, 20000);
    [this.perspective, this.parallel].forEach((c) => c.up.set(0, 0, 1));
    this.camera = this.perspective;
    this.half = 1; // of what the parallel one sees, upward
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.enableZoom = false; // until the picture has the focus: the page scrolls
    canvas.addEventListener('focus', () => { this.controls.enableZoom = true; });
    canvas.addEventListener('blur', () => { this.controls.enableZoom = false; });
    canvas.addEventListener('pointerdown', () => canvas.focus({ preventScroll: true }));
    canvas.addEventListener('keydown', (e) => this.key(e));
    this.controls.addEventListener('change', () => { this.draw(); moved(this); });
    new ResizeObserver(() => this.fit()).observe(canvas.parentElement);
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => this.show(this.layout));
    this.bounds = new THREE.Box3(parts.vector(data.low), parts.vector(data.high));
    this.state = { apart: 0, gaps: false, tightest: true, axis: '', cut: 1, at: Infinity, joined: Infinity, rack: true, names: true };
  }

  /** Shows a layout, with the same settings as before. */
  show(layout) {
    this.clear();
    this.layout = layout;
    const look = newLook(this.light), root = new THREE.Scene();
    this.root = root;
    root.add(new THREE.HemisphereLight('#ffffff', '#cfc8bc', 2.4));
    const sun = new THREE.DirectionalLight('#ffffff', 1.0);
    sun.position.set(0.5, -1, 1.4);
    root.add(sun);
    this.things = new Map();
    const add = (name, object) => {
      if (!this.things.has(name)) this.things.set(name, []);
      this.things.get(name).push(object);
      root.add(object);
    };
    add('opening', parts.opening(this.data, look));
    // What a concession changes differs from layout to layout.
    const solids = this.data.solids.filter((s) => !s.layouts || s.layouts.includes(layout.number));
    solids.forEach((s) => add(s.name, parts.obstacle(s, look)));
    this.boxes = layout.boxes.map((b) => {
      const kind = this.data.kinds[b.kind];
      const { object, words } = parts.box(b, kind, look, b.kind);
      const hull = parts.hull(b, kind, this.data.gaps, look);
      add(b.name, object);
      root.add(hull);
      return { name: b.name, short: b.short, size: kind.size, object, words, hull, centre: parts.vector(b.centre) };
    });
    this.named = namesOf(solids);
    this.choose(this.chosen ?? -1);
    this.hulls = solids.map((s) => {
      const hull = parts.obstacleHull(s, look);
      root.add(hull);
      return { name: s.name, hull };
    });
    this.measures = layout.measures.map((m) => parts.measure(m, look));
    this.measures.forEach((m) => root.add(m));
    this.cables = layout.cables.map((c) => ({ step: c.step, object: parts.cable(c, look) }));
    this.cables.forEach((c) => add('cables', c.object));
    this.rack = new Rack(layout.rack, look, layout.boxes.length);
    if (layout.rack) {
      add('rack', this.rack.metal);
      add('foam', this.rack.foam);
    }
    this.look3d = look;
    this.extra(null, null);
    this.onshow?.();
    this.update();
  }

  /** Shows one of the boxes as chosen, none for -1. */
  choose(number) {
    this.chosen = number;
    this.boxes.forEach((b, i) => {
      const body = b.object.children[0];
      body.userData.usual ??= body.material;
      body.material = i === number ? body.userData.usual.clone() : body.userData.usual;
      if (i === number) body.material.color.set('#ffd75e');
    });
    this.draw();
  }

  /** Draws something more, in place of what was before, with words on it. */
  extra(object, measure) {
    if (this.more) {
      this.root.remove(this.more);
      this.more.traverse((o) => o.geometry?.dispose());
    }
    this.more = object;
    this.moreMeasure = measure;
    if (object) this.root.add(object);
    this.draw();
  }

  clear() {
    if (!this.root) return;
    this.root.traverse((o) => {
      o.geometry?.dispose();
      [o.material].flat().forEach((m) => { m?.map?.dispose(); m?.dispose(); });
    });
  }

  names() { return [...this.things.keys()]; }

  set(change) {
    Object.assign(this.state, change);
    this.update();
  }

  hide(name, off) {
    this.hidden[off ? 'add' : 'delete'](name);
    this.update();
  }

  /** Puts everything where the settings say, and draws. */
  update() {
    const { apart, gaps, tightest, at, joined } = this.state;
    const whole = at >= this.layout.legs.length;
    const off = whole ? [] : this.layout.legs[Math.floor(at)].off;
    this.things.forEach((objects, name) => {
      objects.forEach((o) => { o.visible = !this.hidden.has(name) && !off.includes(name); });
    });
    this.hulls.forEach((h) => { h.hull.visible = gaps && this.things.get(h.name)[0].visible; });
    const middle = new THREE.Vector3();
    this.boxes.forEach((b) => middle.addScaledVector(b.centre, 1 / this.boxes.length));
    this.boxes.forEach((b, i) => {
      const moved = this.wayLeft(i, at);
      b.object.visible &&= moved !== null;
      b.object.position.copy(b.centre).addScaledVector(b.centre.clone().sub(middle), apart);
      if (moved) b.object.position.sub(moved);
      b.hull.position.copy(b.object.position);
      b.hull.visible = gaps && b.object.visible;
    });
    this.rack.place(at, (i) => this.wayLeft(i, at), this.state.rack);
    const still = apart === 0 && whole;
    this.measures.forEach((m) => { m.visible = tightest && still; });
    this.cables.forEach(({ step, object }) => {
      object.visible = still && step < joined && !this.hidden.has('cables');
      object.children.forEach((piece) => { piece.material = step === joined - 1 ? this.look3d.joining : this.look3d.cable; });
    });
    this.clip();
    this.draw();
  }

  /** What is left of the way in of a box or a part of the rack at a place of the order, null before it comes. */
  wayLeft(box, at) {
    const left = new THREE.Vector3();
    let comes = true;
    this.layout.legs.forEach((leg, n) => {
      if (leg.box !== box) return;
      if (leg.first && at < n) comes = false;
      left.addScaledVector(parts.vector(leg.move), Math.min(1, Math.max(0, n + 1 - at)));
    });
    return comes ? left : null;
  }

  clip() {
    const { axis, cut } = this.state;
    if (!axis) {
      this.renderer.clippingPlanes = [];
      return;
    }
    const i = 'xyz'.indexOf(axis);
    const low = this.bounds.min.getComponent(i), high = this.bounds.max.getComponent(i);
    // Cutting along y begins at the right, where the eye is.
    const sign = axis === 'y' ? 1 : -1;
    const where = axis === 'y' ? high - cut * (high - low) : low + cut * (high - low);
    this.renderer.clippingPlanes = [new THREE.Plane(new THREE.Vector3().setComponent(i, sign), -sign * where)];
  }

  /** Looks from one of the directions at all of it. */
  look(from) {
    this.takes(from === 'slanted' ? this.perspective : this.parallel);
    const sphere = this.bounds.getBoundingSphere(new THREE.Sphere());
    const half = Math.min(this.perspective.fov, this.perspective.fov * this.perspective.aspect) * Math.PI / 360;
    const direction = parts.vector(DIRECTIONS[from]).normalize();
    this.controls.target.copy(sphere.center);
    this.camera.position.copy(sphere.center).addScaledVector(direction, sphere.radius * 1.02 / Math.sin(half));
    const size = this.bounds.getSize(new THREE.Vector3());
    const [wide, high] = from === 'front' || from === 'rear' ? [size.y, size.z] : from === 'top' || from === 'underneath' ? [size.x, size.y] : [size.x, size.z];
    this.half = 0.56 * Math.max(high, wide / this.perspective.aspect);
    this.parallel.zoom = 1;
    this.aspect(this.perspective.aspect);
    this.controls.update();
    this.draw();
  }

  /** Looks through one of the cameras. */
  takes(camera) {
    this.camera = camera;
    this.controls.object = camera;
  }

  aspect(aspect) {
    this.perspective.aspect = aspect;
    Object.assign(this.parallel, { left: -this.half * aspect, right: this.half * aspect, top: this.half, bottom: -this.half });
    this.perspective.updateProjectionMatrix();
    this.parallel.updateProjectionMatrix();
  }

  /** Turns by angles in radians, to the right and up, and comes nearer by a factor. */
  turn(right, up, nearer = 1) {
    const arm = this.camera.position.clone().sub(this.controls.target);
    const s = new THREE.Spherical().setFromVector3(new THREE.Vector3(arm.x, arm.z, -arm.y));
    s.theta += right;
    s.phi = Math.min(Math.PI - 0.001, Math.max(0.001, s.phi - up));
    if (this.camera === this.parallel) this.parallel.zoom *= nearer;
    else s.radius /= nearer;
    const v = new THREE.Vector3().setFromSpherical(s);
    this.camera.position.copy(this.controls.target).add(new THREE.Vector3(v.x, -v.z, v.y));
    this.camera.updateProjectionMatrix();
    this.controls.update();
    this.draw();
  }

  key(e) {
    const step = 0.12;
    const turns = {
      ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step],
      '+': [0, 0, 1.15], '=': [0, 0, 1.15], '-': [0, 0, 1 / 1.15],
    };
    if (!turns[e.key] || e.ctrlKey || e.metaKey || e.altKey) return;
    e.preventDefault();
    this.turn(...turns[e.key]);
  }

  /** Takes the view of another viewer. */
  follow(other) {
    this.takes(other.camera === other.parallel ? this.parallel : this.perspective);
    this.half = other.half;
    this.camera.position.copy(other.camera.position);
    this.camera.zoom = other.camera.zoom;
    this.controls.target.copy(other.controls.target);
    this.camera.lookAt(this.controls.target);
    this.aspect(this.perspective.aspect);
    this.draw();
  }

  fit() {
    const { clientWidth: w, clientHeight: h } = this.canvas.parentElement;
    if (!w || !h) return;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.renderer.setSize(w, h, false);
    this.size = [w, h];
    this.aspect(w / h);
    if (!this.placed) {
      this.placed = true;
      this.look('slanted');
    }
    this.draw();
  }

  /** The picture and the words over it as they are seen now, of a size, so many times as sharp. */
  snapshot(width, height, sharp) {
    this.renderer.setPixelRatio(sharp);
    this.renderer.setSize(width, height, false);
    this.size = [width, height];
    this.aspect(width / height);
    this.render();
    const copy = document.createElement('canvas');
    copy.width = width * sharp;
    copy.height = height * sharp;
    copy.getContext('2d').drawImage(this.canvas, 0, 0, copy.width, copy.height);
    copy.setAttribute('role', 'img');
    copy.setAttribute('aria-label', this.layout.alt[document.documentElement.dataset.unit]);
    const words = this.plates.svg.cloneNode(true);
    words.setAttribute('viewBox', `0 0 ${width} ${height}`);
    return [copy, words];
  }

  /** Shows the words on faces that can be read from here, and plates for what else is to be told. */
  write() {
    const [w, h] = this.size;
    const sight = new Sight(this.camera, w, h, this.renderer.clippingPlanes);
    const names = [];
    this.boxes.filter((b) => b.object.visible).forEach((b) => {
      const { readable, named, places } = sight.read(b, this.boxes);
      b.words.show(readable);
      if (!named) names.push({ words: b.name, short: b.short, places, away: sight.eye.distanceTo(b.object.position) });
    });
    names.sort((a, b) => a.away - b.away);
    names.push(...this.thingNames(sight, w, h));
    const unit = document.documentElement.dataset.unit;
    const measures = this.layout.measures.filter((_, i) => this.measures[i].visible).concat(this.moreMeasure ?? []).map((m) => ({
      words: m.words[unit], place: sight.pixel(parts.vector(m.from).lerp(parts.vector(m.to), 0.5)),
    }));
    this.plates.put(measures.filter((m) => m.place), names, w, h);
  }

  /** Names of rails and keep-outs, at those of their points that are seen. */
  thingNames(sight, w, h) {
    if (!this.state.names) return [];
    return this.named.filter(({ name }) => this.things.get(name)[0].visible).map(({ name, points }) => ({
      words: name, short: name, thing: true,
      places: points.filter((p) => sight.sees(p, null, this.boxes)).map((p) => sight.pixel(p)).filter((p) => p && p.x > 0 && p.y > 0 && p.x < w && p.y < h),
    }));
  }

  draw() {
    if (this.waiting || !this.root) return;
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      this.render();
    });
  }

  render() {
    if (!this.size) return;
    this.root.updateMatrixWorld();
    this.camera.updateMatrixWorld();
    this.write();
    this.renderer.render(this.root, this.camera);
  }
}
