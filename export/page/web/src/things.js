// Where the names of rails and keep-outs may stand in the picture.
import * as THREE from 'three';
import { vector } from './parts.js';

/** The names of all solids that bear none yet, each once, with points on them. */
export function namesOf(solids) {
  const all = new Map();
  solids.filter((s) => !s.swept && !s.label).forEach((s) => {
    if (!all.has(s.name)) all.set(s.name, []);
    all.get(s.name).push(...points(s));
  });
  return [...all].map(([name, list]) => ({ name, points: list }));
}

function points(s) {
  if (s.from) return [0.5, 0.3, 0.7, 0.15, 0.85].map((t) => vector(s.from).lerp(vector(s.to), t));
  const corners = s.outline ? s.outline.flatMap(([x, z]) => s.across.map((y) => new THREE.Vector3(x, y, z)))
    : s.faces ? s.faces.flat().map(vector) : [vector(s.low), vector(s.high)];
  const bounds = new THREE.Box3().setFromPoints(corners), middle = bounds.getCenter(new THREE.Vector3());
  // The middle of the whole, and those of what is around it.
  return [middle, ...[0, 1, 2].flatMap((i) => [bounds.min, bounds.max].map((end) => middle.clone().setComponent(i, end.getComponent(i))))];
}
