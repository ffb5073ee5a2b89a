// Words in the 3D view, drawn on canvases.
import * as THREE from 'three';

const FONT = 'system-ui, sans-serif';
const INK = '#14181d';

function canvas(width, height) {
  const c = document.createElement('canvas');
  c.width = width;
  c.height = height;
  return c;
}

function textureOf(c) {
  const t = new THREE.CanvasTexture(c);
  t.colorSpace = THREE.SRGBColorSpace;
  t.anisotropy = 4;
  return t;
}

/** Text in the middle of a field, as large as it fits. */
function write(g, text, x, y, width, size, weight = '') {
  g.textAlign = 'center';
  g.textBaseline = 'middle';
  do g.font = `${weight} ${size}px ${FONT}`; while (g.measureText(text).width > width && (size -= 2) > 8);
  g.fillText(text, x, y);
}

const FACES = [
  { word: 'front', axis: 0, sign: 1 }, { word: 'back', axis: 0, sign: -1 },
  { word: 'left', axis: 1, sign: 1 }, { word: 'right', axis: 1, sign: -1 },
  { word: 'top', axis: 2, sign: 1 }, { word: 'bottom', axis: 2, sign: -1 },
];
const ROW = 80, WIDE = 256;

/** One mesh with a label on each of the six faces: the box's name and the face's. */
export function faceLabels(b, kind) {
  const c = canvas(WIDE, ROW * FACES.length);
  const g = c.getContext('2d');
  g.fillStyle = INK;
  const positions = [], uvs = [];
  FACES.forEach((face, i) => {
    write(g, b.name, WIDE / 2, ROW * i + 26, WIDE - 8, 34, '600');
    write(g, face.word, WIDE / 2, ROW * i + 60, WIDE - 8, 24);
    const { right, up, out, width, height } = reading(b, kind, face);
    const w = Math.min(width * 0.86, height * 0.7 * WIDE / ROW) / 2, h = w * ROW / WIDE;
    const at = (r, u) => out.clone().addScaledVector(right, r * w).addScaledVector(up, u * h).toArray();
    const top = 1 - i / FACES.length, bottom = 1 - (i + 1) / FACES.length;
    positions.push(...at(-1, -1), ...at(1, -1), ...at(1, 1), ...at(-1, -1), ...at(1, 1), ...at(-1, 1));
    uvs.push(0, bottom, 1, bottom, 1, top, 0, bottom, 1, top, 0, top);
  });
  const geometry = new THREE.BufferGeometry();
  geometry.setAttribute('position', new THREE.Float32BufferAttribute(positions, 3));
  geometry.setAttribute('uv', new THREE.Float32BufferAttribute(uvs, 2));
  const material = new THREE.MeshBasicMaterial({ map: textureOf(c), transparent: true, depthWrite: false });
  return new THREE.Mesh(geometry, material);
}

/**
 * How words on a face of a placed box run so that they stand upright, or on a level face
 * read from the right: own axes to the right and up of the words, and the face's middle.
 */
function reading(b, kind, face) {
  const own = [0, 1, 2].filter((i) => i !== face.axis);
  const normal = new THREE.Vector3().setComponent(face.axis, face.sign);
  const level = Math.abs(b.axes[face.axis][2]) > 0.7;
  const rises = (i) => b.axes[i][level ? 1 : 2];
  const upAxis = Math.abs(rises(own[0])) > Math.abs(rises(own[1])) ? own[0] : own[1];
  const up = new THREE.Vector3().setComponent(upAxis, rises(upAxis) < 0 ? -1 : 1);
  const right = up.clone().cross(normal);
  const rightAxis = own[0] === upAxis ? own[1] : own[0];
  const out = normal.clone().multiplyScalar(kind.size[face.axis] / 2 + 0.4);
  return { right, up, out, width: kind.size[rightAxis], height: kind.size[upAxis] };
}

const signs = new Map();

/** The sign of a post, to lie on its end. */
export function postSign(sign, size) {
  if (!signs.has(sign)) {
    const c = canvas(64, 64), g = c.getContext('2d');
    g.fillStyle = '#fff';
    g.fillRect(12, 26, 40, 12);
    if (sign === '+') g.fillRect(26, 12, 12, 40);
    signs.set(sign, new THREE.MeshBasicMaterial({ map: textureOf(c), transparent: true }));
  }
  const mesh = new THREE.Mesh(new THREE.PlaneGeometry(size * 0.8, size * 0.8), signs.get(sign));
  mesh.visible = sign !== '';
  return mesh;
}

/** A line of words on a plate that always faces the eye. */
export function tag(words) {
  const c = canvas(512, 64), g = c.getContext('2d');
  g.font = `600 34px ${FONT}`;
  const width = Math.min(504, g.measureText(words).width + 32);
  g.fillStyle = '#fff';
  g.beginPath();
  g.roundRect((512 - width) / 2, 4, width, 56, 10);
  g.fill();
  g.lineWidth = 3;
  g.strokeStyle = g.fillStyle = '#a3123f';
  g.stroke();
  write(g, words, 256, 33, 480, 34, '600');
  const sprite = new THREE.Sprite(new THREE.SpriteMaterial({ map: textureOf(c), depthTest: false, sizeAttenuation: false }));
  sprite.scale.set(0.28, 0.035, 1);
  return sprite;
}
