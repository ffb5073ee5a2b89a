// What of the boxes can be seen from where the eye is, and which words on them can be read.
import * as THREE from 'three';

export const READABLE = 12; // pixels

/** A camera's view of a picture of a size, with what a cut takes away. */
export class Sight {
  constructor(camera, width, height, cuts) {
    Object.assign(this, { camera, width, height, cuts });
    this.eye = camera.position;
    this.back = camera.isOrthographicCamera ? new THREE.Vector3(0, 0, 1).transformDirection(camera.matrixWorld) : null;
  }

  /** Where a point is seen from: from far behind it where all lines of sight are parallel. */
  from(point) { return this.back ? point.clone().addScaledVector(this.back, 1e5) : this.eye; }

  /** Where a point is in the picture, null where it is behind the eye. */
  pixel(point) {
    const v = point.clone().project(this.camera);
    return Math.abs(v.z) > 1 ? null : { x: (v.x + 1) / 2 * this.width, y: (1 - v.y) / 2 * this.height };
  }

  /** How many pixels high letters are: the root of the area of an em. */
  letters(middle, along, up) {
    const [m, a, u] = [middle, middle.clone().add(along), middle.clone().add(up)].map((p) => this.pixel(p));
    if (!m || !a || !u) return 0;
    return Math.sqrt(Math.abs((a.x - m.x) * (u.y - m.y) - (a.y - m.y) * (u.x - m.x)));
  }

  kept(point) { return this.cuts.every((plane) => plane.distanceToPoint(point) >= 0); }

  /** Whether no other box is between the eye and a point of a box. */
  sees(point, box, boxes) {
    return this.kept(point) && boxes.every((b) => b === box || !b.object.visible || !this.meets(b, point));
  }

  /** Whether the way from the eye to a point goes through a box. */
  meets(b, point) {
    const back = b.object.matrixWorld.clone().invert();
    const from = this.from(point).clone().applyMatrix4(back), to = point.clone().applyMatrix4(back);
    let first = 0, last = 1 - 1e-6;
    for (let i = 0; i < 3; i++) {
      const half = b.size[i] / 2, start = from.getComponent(i), step = to.getComponent(i) - start || 1e-12;
      const [a, c] = [(-half - start) / step, (half - start) / step];
      first = Math.max(first, Math.min(a, c));
      last = Math.min(last, Math.max(a, c));
    }
    if (first >= last) return false;
    const eye = this.from(point), hit = eye.clone().lerp(point, first);
    return this.kept(hit) || this.kept(eye.clone().lerp(point, last));
  }

  /** The faces of a box that look to the eye: their words that can be read, and their middles. */
  read(b, boxes) {
    const { matrixWorld } = b.object, turn = new THREE.Matrix3().setFromMatrix4(matrixWorld);
    const readable = [], places = [];
    let named = false;
    b.words.words.forEach((word, n) => {
      const middle = word.middle.clone().applyMatrix4(matrixWorld);
      const along = word.along.clone().applyMatrix3(turn), up = word.up.clone().applyMatrix3(turn);
      const towards = along.clone().cross(up).normalize().dot(this.from(middle).clone().sub(middle).normalize());
      if (towards <= 0) return;
      const large = this.letters(middle, along, up) >= READABLE;
      if (large) readable.push(n);
      if (!word.named || !this.sees(middle, b, boxes)) return;
      named ||= large;
      const pixel = this.pixel(middle);
      if (pixel) places.push({ ...pixel, towards });
    });
    places.sort((p, q) => q.towards - p.towards);
    return { readable, named, places };
  }
}
