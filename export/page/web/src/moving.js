// Parts that move: what they are swept through is a veil, behind the part at both ends of its
// movement where the two have a face in common; names stand upright wherever one looks from.
import * as THREE from 'three';
import { FONT } from './labels.js';

/** What is swept, or the road. */
export function veil(mesh, solid, look) {
  mesh.material = look.swept;
  mesh.renderOrder = 3; // after keep-outs, behind whose depth it is hidden
  const group = new THREE.Group();
  group.add(mesh);
  if (solid.label) { // the road: its rim, and its name
    const loop = solid.faces[0].map((c) => new THREE.Vector3(...c));
    group.add(new THREE.LineLoop(new THREE.BufferGeometry().setFromPoints(loop), look.sweptLine), name(solid, look));
  }
  return group;
}

/** A name in the middle of a solid's faces. */
export function name(solid, look) {
  const size = 48, c = document.createElement('canvas'), g = c.getContext('2d');
  const font = `600 ${size}px ${FONT}`;
  g.font = font;
  c.width = Math.ceil(g.measureText(solid.label).width) + 24;
  c.height = size + 24;
  g.font = font;
  g.fillStyle = look.paper;
  g.fillRect(0, 0, c.width, c.height);
  g.fillStyle = look.ink;
  g.textBaseline = 'middle';
  g.fillText(solid.label, 12, c.height / 2);
  const map = new THREE.CanvasTexture(c);
  map.colorSpace = THREE.SRGBColorSpace;
  const sprite = new THREE.Sprite(new THREE.SpriteMaterial({ map, depthTest: false, sizeAttenuation: false, transparent: true, opacity: 0.85 }));
  const high = 0.02;
  sprite.scale.set(high * c.width / c.height, high, 1);
  sprite.renderOrder = 6;
  sprite.position.copy(new THREE.Box3().setFromPoints(solid.faces.flat().map((p) => new THREE.Vector3(...p))).getCenter(new THREE.Vector3()));
  return sprite;
}
