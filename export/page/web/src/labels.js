// Words on the faces of boxes, drawn on canvases.
import * as THREE from 'three';

export const FONT = 'system-ui, sans-serif';
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

/** Writes text in the middle of a field, as large as it fits, and returns how large. */
function write(g, text, x, y, width, size, weight = '') {
  g.textAlign = 'center';
  g.textBaseline = 'middle';
  do g.font = `${weight} ${size}px ${FONT}`; while (g.measureText(text).width > width && (size -= 2) > 8);
  g.fillText(text, x, y);
  return size;
}

const FACES = [
  { word: 'front', axis: 0, sign: 1 }, { word: 'back', axis: 0, sign: -1 },
  { word: 'left', axis: 1, sign: 1 }, { word: 'right', axis: 1, sign: -1 },
  { word: 'top', axis: 2, sign: 1 }, { word: 'bottom', axis: 2, sign: -1 },
];
const WIDE = 256, HIGH = 100; // of a face's words on the canvas, in points
const ROWS = [{ top: 0, high: 58 }, { top: 58, high: 42 }]; // the box's name, the face's

/** The words on the faces of a box: its name and that of each face, in one mesh. */
export class FaceWords {
  constructor(b, kind) {
    const c = canvas(WIDE, HIGH * FACES.length), g = c.getContext('2d');
    g.fillStyle = INK;
    const positions = [], uvs = [];
    this.words = []; // each in the box's own axes, with what an em is along and up
    FACES.forEach((face, i) => {
      const { right, up, out, width, height } = reading(b, kind, face);
      const point = Math.min(width * 0.86, height * 0.76 * WIDE / HIGH) / WIDE;
      ROWS.forEach(({ top, high }, row) => {
        const y = HIGH * i + top, text = row ? face.word : b.name;
        const size = write(g, text, WIDE / 2, y + high / 2, WIDE - 4, row ? 36 : 52, row ? '' : '600');
        const at = (x, down) => out.clone().addScaledVector(right, (x - WIDE / 2) * point).addScaledVector(up, (HIGH / 2 - down) * point);
        const corners = [at(0, top + high), at(WIDE, top + high), at(WIDE, top), at(0, top)];
        corners.forEach((p) => positions.push(...p.toArray()));
        const above = 1 - y / c.height, below = 1 - (y + high) / c.height;
        uvs.push(0, below, 1, below, 1, above, 0, above);
        this.words.push({
          face: i, named: row === 0, middle: at(WIDE / 2, top + high / 2),
          along: right.clone().multiplyScalar(size * point), up: up.clone().multiplyScalar(size * point),
        });
      });
    });
    const geometry = new THREE.BufferGeometry();
    geometry.setAttribute('position', new THREE.Float32BufferAttribute(positions, 3));
    geometry.setAttribute('uv', new THREE.Float32BufferAttribute(uvs, 2));
    geometry.setIndex(new THREE.BufferAttribute(new Uint16Array(6 * this.words.length), 1));
    const material = new THREE.MeshBasicMaterial({ map: textureOf(c), transparent: true, depthWrite: false });
    this.mesh = new THREE.Mesh(geometry, material);
    this.mesh.visible = false;
    this.shown = '';
  }

  /** Shows some of the words, by number. */
  show(numbers) {
    const key = numbers.join();
    if (key === this.shown) return;
    this.shown = key;
    const { index } = this.mesh.geometry;
    numbers.forEach((n, i) => index.array.set([0, 1, 2, 0, 2, 3].map((k) => 4 * n + k), 6 * i));
    index.needsUpdate = true;
    this.mesh.geometry.setDrawRange(0, 6 * numbers.length);
    this.mesh.visible = numbers.length > 0;
  }
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
