// The rack: bars, bolts and rods, and the foam between it and the boxes. Each part comes at
// its step of the order of building.
import * as THREE from 'three';
import { bar as round, edgesOf, vector } from './parts.js';

const SIX = 6; // sides of a nut

/** An angle or a flat: its section swept from one end of its heel to the other. */
function profile({ from, to, a, b, width, thick, angle }, look) {
  const corners = angle
    ? [[0, 0], [width, 0], [width, thick], [thick, thick], [thick, width], [0, width]]
    : [[0, 0], [width, 0], [width, thick], [0, thick]];
  const shape = new THREE.Shape(corners.map(([x, y]) => new THREE.Vector2(x, y)));
  const start = vector(from), along = vector(to).sub(start), depth = along.length();
  const geometry = new THREE.ExtrudeGeometry(shape, { depth, bevelEnabled: false });
  const basis = new THREE.Matrix4().makeBasis(vector(a), vector(b), along.normalize()).setPosition(start);
  geometry.applyMatrix4(basis);
  if (basis.determinant() < 0) turnOver(geometry);
  return edgesOf(new THREE.Mesh(geometry, look.steel), look.thin);
}

/** Faces that a mirrored matrix has turned inside out. */
function turnOver(geometry) {
  const { position } = geometry.attributes;
  for (let i = 0; i < position.count; i += 3) {
    const [p, q] = [1, 2].map((k) => new THREE.Vector3().fromBufferAttribute(position, i + k));
    position.setXYZ(i + 1, ...q.toArray());
    position.setXYZ(i + 2, ...p.toArray());
  }
  geometry.computeVertexNormals();
}

/** Shank, head, nuts, washers and sleeve about one axis. */
function fastener({ rounds }, look) {
  const group = new THREE.Group();
  rounds.forEach(({ from, to, radius, six }) => {
    const mesh = round(from, to, radius, look.bolt);
    if (six) mesh.geometry = new THREE.CylinderGeometry(radius, radius, mesh.geometry.parameters.height, SIX);
    group.add(mesh);
  });
  return group;
}

function pad({ low, high, turn }, look) {
  const size = vector(high).sub(vector(low));
  const mesh = new THREE.Mesh(new THREE.BoxGeometry(...size.toArray()), look.foam);
  mesh.position.copy(vector(low)).add(vector(high)).multiplyScalar(0.5);
  if (turn) {
    mesh.position.applyAxisAngle(new THREE.Vector3(0, 1, 0), turn);
    mesh.rotateY(turn);
  }
  return mesh;
}

const MAKES = { bar: profile, bolt: fastener, foam: pad };

/** The parts of a rack. Moving ones are counted on from the boxes. */
export class Rack {
  constructor(data, look, boxes) {
    this.boxes = boxes;
    this.metal = new THREE.Group();
    this.foam = new THREE.Group();
    this.parts = (data?.parts ?? []).map((part) => {
      const object = MAKES[part.is](part, look);
      (part.is === 'foam' ? this.foam : this.metal).add(object);
      return { object, home: object.position.clone(), comes: part.comes };
    });
  }

  /** Puts each part where it is at a place of the order; way tells what is left of its way in. Not
   * shown, all is hidden; what is hidden by name stays so. */
  place(at, way, shown) {
    [this.metal, this.foam].forEach((group) => { group.visible &&= shown; });
    this.parts.forEach(({ object, home, comes }, i) => {
      const left = way(this.boxes + i);
      object.visible = left !== null && at >= comes;
      object.position.copy(home);
      if (left) object.position.sub(left);
    });
  }
}
