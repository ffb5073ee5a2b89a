// What is clicked in the picture: a box, to be told of, or two points, to measure between.
import * as THREE from 'three';
import { bar } from './parts.js';

const STILL = 5; // pixels that a click may move
const NEAR = 14; // pixels from a box's corner within which a point is taken to be that corner

export class Picking {
  /** told gets the number of a box that is clicked, and the points of what is measured. */
  constructor(viewer, told) {
    Object.assign(this, { viewer, told, measuring: false, points: [], caster: new THREE.Raycaster() });
    const { canvas } = viewer;
    let began = null;
    canvas.addEventListener('pointerdown', (e) => { began = [e.clientX, e.clientY]; });
    canvas.addEventListener('pointerup', (e) => {
      if (began && Math.hypot(e.clientX - began[0], e.clientY - began[1]) < STILL) this.click(e);
      began = null;
    });
  }

  click(e) {
    const hit = this.hit(e);
    if (!this.measuring) this.told.box(hit ? hit.box : -1);
    else if (hit) this.point(hit.point);
  }

  /** The nearest thing that is seen under the pointer: its point, and which box it is of. */
  hit(e) {
    const { viewer } = this, r = viewer.canvas.getBoundingClientRect();
    const at = new THREE.Vector2(2 * (e.clientX - r.left) / r.width - 1, 1 - 2 * (e.clientY - r.top) / r.height);
    this.caster.setFromCamera(at, viewer.camera);
    let best = null;
    viewer.things.forEach((objects) => objects.forEach((object) => {
      if (!object.visible) return;
      const box = viewer.boxes.findIndex((b) => b.object === object);
      this.caster.intersectObject(object, true).forEach(({ object: o, distance, point }) => {
        const kept = viewer.renderer.clippingPlanes.every((p) => p.distanceToPoint(point) >= 0);
        if (o.isMesh && o.material !== viewer.look3d.swept && kept && (!best || distance < best.distance)) best = { box, distance, point };
      });
    }));
    return best && { ...best, point: this.corner(best, e.clientX - r.left, e.clientY - r.top, r) };
  }

  /** A corner of the box that was hit, where one is near. */
  corner({ box, point }, x, y, { width, height }) {
    const b = this.viewer.boxes[box];
    let best = point, least = NEAR;
    for (let i = 0; b && i < 8; i++) {
      const q = new THREE.Vector3(...b.size.map((s, k) => (i >> k & 1 ? s : -s) / 2)).applyMatrix4(b.object.matrixWorld);
      const p = q.clone().project(this.viewer.camera);
      const away = Math.hypot((p.x + 1) / 2 * width - x, (1 - p.y) / 2 * height - y);
      if (away < least) [best, least] = [q, away];
    }
    return best;
  }

  point(p) {
    this.points = this.points.length === 1 ? [this.points[0], p] : [p];
    this.draw();
    this.told.points(this.points);
  }

  clear() {
    this.points = [];
    this.draw();
    this.told.points(this.points);
  }

  /** Draws the points and what is between them. */
  draw() {
    const { viewer, points } = this, { measure } = viewer.look3d;
    const group = new THREE.Group(), size = viewer.bounds.getSize(new THREE.Vector3()).length() / 160;
    points.forEach((p) => {
      const ball = new THREE.Mesh(new THREE.SphereGeometry(size, 12, 8), measure);
      ball.position.copy(p);
      group.add(ball);
    });
    if (points.length === 2) group.add(bar(points[0].toArray(), points[1].toArray(), size / 3, measure));
    group.traverse((o) => { o.renderOrder = 5; });
    viewer.extra(group, points.length === 2 ? between(points) : null);
  }
}

/** What is measured: words in both units, and where they belong. */
function between([a, b]) {
  const words = distance(a, b);
  return { from: a.toArray(), to: b.toArray(), words: { mm: words.mm.whole, in: words.in.whole } };
}

/** Lengths between two points, as they are told: the whole, and along, across and up. */
export function distance(a, b) {
  const d = b.clone().sub(a);
  const told = (length) => ({ whole: length(d.length()), parts: `${length(Math.abs(d.x))} along, ${length(Math.abs(d.y))} across, ${length(Math.abs(d.z))} up` });
  return { mm: told(millimetres), in: told(inches) };
}

const millimetres = (mm) => `${Math.round(mm * 10) / 10} mm`;

/** To the nearest sixteenth. */
function inches(mm) {
  const all = Math.round(mm / 25.4 * 16), whole = Math.floor(all / 16);
  let over = all % 16, under = 16;
  while (over && over % 2 === 0) [over, under] = [over / 2, under / 2];
  return `${[whole || !over ? whole : '', over ? `${over}/${under}` : ''].filter((t) => t !== '').join(' ')} in`;
}

