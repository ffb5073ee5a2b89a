// Solids of the frame and boxes of a layout as three.js objects. Lengths are
// millimetres, axes those of the vehicle: x forward, y left, z up.
import * as THREE from 'three';
import { FaceWords, postSign } from './labels.js';
import { name, veil } from './moving.js';

export const vector = (a) => new THREE.Vector3(a[0], a[1], a[2]);

/** A round bar between two points, with flat ends, or with round ones beyond the points. */
export function bar(from, to, radius, material, round = false) {
  const a = vector(from), b = vector(to), length = a.distanceTo(b);
  const geometry = round ? new THREE.CapsuleGeometry(radius, length, 7, 28) : new THREE.CylinderGeometry(radius, radius, length, 28);
  const mesh = new THREE.Mesh(geometry, material);
  mesh.position.copy(a).add(b).multiplyScalar(0.5);
  mesh.quaternion.setFromUnitVectors(new THREE.Vector3(0, 1, 0), b.sub(a).normalize());
  return mesh;
}

/** A side-view outline swept across. */
function prism(outline, across, material) {
  const shape = new THREE.Shape(outline.map(([x, z]) => new THREE.Vector2(x, z)));
  const geometry = new THREE.ExtrudeGeometry(shape, { depth: across[1] - across[0], bevelEnabled: false });
  // The shape lies in x and y and is swept along z: turn y up, and z towards the right.
  geometry.rotateX(Math.PI / 2);
  geometry.translate(0, across[1], 0);
  return new THREE.Mesh(geometry, material);
}

function block(low, high, material) {
  const size = vector(high).sub(vector(low));
  const mesh = new THREE.Mesh(new THREE.BoxGeometry(size.x, size.y, size.z), material);
  mesh.position.copy(vector(low)).add(vector(high)).multiplyScalar(0.5);
  return mesh;
}

/** Flat faces, each its corners counter-clockwise seen from outside. */
function polyhedron(faces, material) {
  const corners = faces.flatMap((f) => f.slice(2).flatMap((c, i) => [f[0], f[i + 1], c].map(vector)));
  const geometry = new THREE.BufferGeometry().setFromPoints(corners);
  geometry.computeVertexNormals();
  return new THREE.Mesh(geometry, material);
}

export function edgesOf(mesh, material) {
  const lines = new THREE.LineSegments(new THREE.EdgesGeometry(mesh.geometry, 30), material);
  mesh.add(lines);
  return mesh;
}

/** A rail or keep-out. */
export function obstacle(solid, look) {
  if (solid.rail) return edgesOf(bar(solid.from, solid.to, solid.radius, look.rail, true), look.thin);
  let mesh;
  if (solid.radius) mesh = bar(solid.from, solid.to, solid.radius, look.keepout);
  else if (solid.outline) mesh = prism(solid.outline, solid.across, look.keepout);
  else if (solid.faces) mesh = polyhedron(solid.faces, look.keepout);
  else mesh = block(solid.low, solid.high, look.keepout);
  if (solid.swept) return veil(mesh, solid, look);
  if (solid.label) mesh.add(name(solid, look));
  if (solid.end) mesh.material = look.ends[solid.end - 1];
  // Of keep-outs, which can be seen through, only what is nearest is drawn: the pieces of
  // a notched one then look like one.
  mesh.renderOrder = 2;
  const depth = new THREE.Mesh(mesh.geometry, solid.end ? look.endDepths[solid.end - 1] : look.depth);
  depth.renderOrder = 1;
  mesh.add(depth);
  if (!solid.piece) return edgesOf(mesh, look.thin);
  const group = new THREE.Group(), ends = (solid.edges ?? []).flat().map(vector);
  group.add(mesh, new THREE.LineSegments(new THREE.BufferGeometry().setFromPoints(ends), look.thin));
  return group;
}

/** The room that has to stay free around a rail or keep-out, by its own gap. */
export function obstacleHull(solid, look) {
  const { gap } = solid, group = new THREE.Group();
  if (gap <= 0) return group;
  if (solid.rail) group.add(bar(solid.from, solid.to, solid.radius + gap, look.gap, true));
  else if (solid.radius) {
    const a = vector(solid.from), b = vector(solid.to), out = b.clone().sub(a).setLength(gap);
    group.add(edgesOf(bar(a.sub(out).toArray(), b.add(out).toArray(), solid.radius + gap, look.gap), look.gapLine));
  } else if (solid.outline) {
    const across = [solid.across[0] - gap, solid.across[1] + gap];
    solid.hull.forEach((outline) => group.add(prism(outline, across, look.gap)));
  } else if (solid.around) group.add(polyhedron(solid.around, look.gap));
  else if (solid.low) group.add(block(solid.low.map((v) => v - gap), solid.high.map((v) => v + gap), look.gap));
  return group;
}

/** The opening: its outline on both sides, by the width at each height, and the lines across. */
export function opening(frame, look) {
  const solid = [], dashed = [];
  frame.rims.forEach((rim) => {
    const into = rim.open ? dashed : solid;
    rim.lines.forEach((line) => {
      for (let i = 1; i < line.length; i++) into.push(vector(line[i - 1]), vector(line[i]));
    });
  });
  const group = new THREE.Group();
  group.add(new THREE.LineSegments(new THREE.BufferGeometry().setFromPoints(solid), look.side));
  const open = new THREE.LineSegments(new THREE.BufferGeometry().setFromPoints(dashed), look.open);
  open.computeLineDistances();
  group.add(open);
  return group;
}

/** A box in its place with its posts, and the words on its faces. */
export function box(b, kind, look, kindIndex) {
  const group = new THREE.Group();
  const basis = new THREE.Matrix4().makeBasis(vector(b.axes[0]), vector(b.axes[1]), vector(b.axes[2]));
  group.quaternion.setFromRotationMatrix(basis);
  group.position.copy(vector(b.centre));
  const geometry = new THREE.BoxGeometry(...kind.size);
  const body = new THREE.Mesh(geometry, look.kinds[kindIndex % look.kinds.length]);
  edgesOf(body, look.thin);
  body.add(new THREE.Mesh(geometry, look.inside)); // what a cut shows
  const words = new FaceWords(b, kind);
  group.add(body, words.mesh);
  kind.posts.forEach((p) => group.add(post(p, look)));
  return { object: group, words };
}

function post(p, look) {
  const axis = vector(p.axis), from = vector(p.at);
  const height = Math.max(p.height, 0.8);
  const to = from.clone().addScaledVector(axis, height);
  const mesh = bar(from.toArray(), to.toArray(), p.radius, p.sign === '+' ? look.plus : look.minus);
  const sign = postSign(p.sign, p.radius * 2);
  sign.position.set(0, height / 2 + 0.3, 0);
  sign.rotation.x = -Math.PI / 2;
  mesh.add(sign);
  return mesh;
}

/** The room that has to stay free around a box: beside and above by their own gaps. */
export function hull(b, kind, gaps, look) {
  const grown = b.axes.map((axis, i) => kind.size[i] + 2 * (Math.abs(axis[2]) > Math.SQRT1_2 ? gaps.above : gaps.beside));
  const mesh = edgesOf(new THREE.Mesh(new THREE.BoxGeometry(...grown), look.gap), look.gapLine);
  const group = new THREE.Group();
  group.add(mesh);
  kind.posts.forEach((p) => {
    const axis = vector(p.axis), at = vector(p.at);
    const from = at.clone(), to = at.clone().addScaledVector(axis, p.height + gaps.post);
    group.add(bar(from.toArray(), to.toArray(), p.radius + gaps.post, look.gap));
  });
  const basis = new THREE.Matrix4().makeBasis(vector(b.axes[0]), vector(b.axes[1]), vector(b.axes[2]));
  group.quaternion.setFromRotationMatrix(basis);
  group.position.copy(vector(b.centre));
  return group;
}

/** A cable: straight pieces with round ends. */
export function cable(c, look) {
  const group = new THREE.Group();
  c.points.slice(1).forEach((to, i) => group.add(bar(c.points[i], to, c.radius, look.cable, true)));
  return group;
}

/** A relation drawn in place: a rod between two discs. */
export function measure(m, look) {
  const group = new THREE.Group();
  const a = vector(m.from), b = vector(m.to);
  if (a.distanceTo(b) < 0.5) b.add(new THREE.Vector3(0, 0, 0.5));
  group.add(bar(a.toArray(), b.toArray(), 1.6, look.measure));
  const along = b.clone().sub(a).normalize();
  [a, b].forEach((p) => {
    const end = p.clone().addScaledVector(along, 0.6);
    group.add(bar(p.toArray(), end.toArray(), 7, look.measure));
  });
  group.traverse((o) => { o.renderOrder = 5; });
  return group;
}
