// The picture in space of the bench: boxes in it can be slid level.
import * as THREE from 'three';
import * as parts from './parts.js';
import { Viewer } from './viewer.js';

const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

export class Space {
  /** on: {choose(i), centre(i), drag(i, centre, axes, begins, free)}. Throws where there is no WebGL. */
  constructor(canvas, plates, scene, on) {
    Object.assign(this, { canvas, on, held: null });
    this.viewer = new Viewer(canvas, plates, scene, () => {});
    // Before the view's own listener, so that a box that is dragged does not turn the view.
    canvas.addEventListener('pointerdown', (e) => this.grab(e), { capture: true });
    canvas.addEventListener('pointermove', (e) => this.move(e));
    ['pointerup', 'pointercancel'].forEach((n) => canvas.addEventListener(n, () => { this.held = null; }));
  }

  /** Takes up another frame or pack; the next show draws it. */
  load(scene) {
    this.viewer.data = scene;
    this.viewer.bounds = new THREE.Box3(parts.vector(scene.low), parts.vector(scene.high));
    this.anew = true;
  }

  /** Shows a layout: where boxes have only moved nothing is made anew but the measures. */
  show(layout) {
    const { viewer } = this, before = viewer.layout, next = { ...layout, rack: layout.rack ?? null };
    const stay = (b, i) => { const was = before.boxes[i]; return b.kind === was.kind && b.name === was.name && same(b.axes, was.axes); };
    if (!before || this.anew || before.boxes.length !== next.boxes.length || !next.boxes.every(stay)) {
      this.anew = false;
      viewer.show(next);
      return;
    }
    viewer.layout = next;
    next.boxes.forEach((b, i) => { viewer.boxes[i].centre = parts.vector(b.centre); });
    viewer.measures.forEach((m) => { viewer.root.remove(m); m.traverse((o) => o.geometry?.dispose()); });
    viewer.measures = next.measures.map((m) => parts.measure(m, viewer.look3d));
    viewer.measures.forEach((m) => viewer.root.add(m));
    viewer.update();
  }

  ray(e) {
    const r = this.canvas.getBoundingClientRect(), caster = new THREE.Raycaster();
    caster.setFromCamera(new THREE.Vector2(2 * (e.clientX - r.left) / r.width - 1, 1 - 2 * (e.clientY - r.top) / r.height), this.viewer.camera);
    return caster;
  }

  grab(e) {
    const hits = this.viewer.boxes.map((b, i) => ({ i, hit: this.ray(e).intersectObject(b.object, true)[0] })).filter((h) => h.hit);
    hits.sort((a, b) => a.hit.distance - b.hit.distance);
    if (!hits.length) return;
    const [{ i, hit }] = hits, centre = this.on.centre(i);
    this.on.choose(i);
    if (!centre) return;
    e.stopImmediatePropagation();
    this.held = { i, plane: new THREE.Plane(new THREE.Vector3(0, 0, 1), -hit.point.z), from: hit.point.clone(), centre, begins: true };
    this.canvas.setPointerCapture(e.pointerId);
  }

  move(e) {
    const { held } = this, now = held && this.ray(e).ray.intersectPlane(held.plane, new THREE.Vector3());
    if (!now) return;
    const centre = [...held.centre];
    [0, 1].forEach((a) => { centre[a] += Math.round(10 * (now.getComponent(a) - held.from.getComponent(a))) / 10; });
    this.on.drag(held.i, centre, [0, 1], held.begins, e.altKey);
    held.begins = false;
  }
}
