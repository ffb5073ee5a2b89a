// Materials. Boxes of different kinds differ in lightness, so that they stay apart
// without colour; words on their faces tell the rest.
import * as THREE from 'three';

const KINDS = ['#dfe9f3', '#e8c98a', '#9cc4a8', '#d9a7bd', '#8f9fc9', '#f3f0e6'];

export function newLook(light = false) {
  const dark = !light && matchMedia('(prefers-color-scheme: dark)').matches;
  // A little behind its edges, so that these are drawn whole.
  const solid = (color) => new THREE.MeshLambertMaterial({ color, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
  const line = (color) => new THREE.LineBasicMaterial({ color });
  const ink = dark ? '#d5dbe2' : '#22282f';
  const keepout = () => new THREE.MeshLambertMaterial({ color: dark ? '#8a8d91' : '#70747a', transparent: true, opacity: 0.5, depthWrite: false, side: THREE.DoubleSide });
  return {
    kinds: KINDS.map(solid),
    inside: new THREE.MeshBasicMaterial({ color: '#6f6552', side: THREE.BackSide }),
    rail: solid(dark ? '#97a3b0' : '#8b97a4'),
    keepout: keepout(),
    // Of a part that moves in the plane of one of its faces both ends have that face: each lies
    // at a depth of its own.
    ends: [1, 3].map((depth) => Object.assign(keepout(), { polygonOffset: true, polygonOffsetFactor: depth, polygonOffsetUnits: 4 * depth })),
    endDepths: [1, 3].map((depth) => new THREE.MeshLambertMaterial({
      transparent: true, colorWrite: false, side: THREE.DoubleSide, polygonOffset: true, polygonOffsetFactor: depth, polygonOffsetUnits: 4 * depth,
    })),
    swept: new THREE.MeshBasicMaterial({
      color: dark ? '#b98cff' : '#6b3fb5', transparent: true, opacity: 0.12, depthWrite: false, side: THREE.DoubleSide,
      polygonOffset: true, polygonOffsetFactor: 6, polygonOffsetUnits: 24,
    }),
    sweptLine: line(dark ? '#b98cff' : '#6b3fb5'),
    ink,
    paper: dark ? '#14181d' : '#ffffff',
    depth: new THREE.MeshLambertMaterial({ transparent: true, colorWrite: false, side: THREE.DoubleSide }),
    plus: solid('#b3261e'),
    minus: solid('#1d2b3a'),
    cable: solid(dark ? '#c8cfd6' : '#30363d'),
    joining: solid('#0b8793'),
    steel: new THREE.MeshLambertMaterial({ color: dark ? '#7f9fc0' : '#5f7f9f', side: THREE.DoubleSide, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 }),
    bolt: solid(dark ? '#b9a36b' : '#8a7434'),
    foam: solid('#e9e2c8'),
    thin: line(dark ? '#0d1014' : '#22282f'),
    side: line(ink),
    open: new THREE.LineDashedMaterial({ color: ink, dashSize: 12, gapSize: 8 }),
    gap: new THREE.MeshBasicMaterial({ color: '#e08a00', transparent: true, opacity: 0.16, depthWrite: false }),
    gapLine: line('#b06c00'),
    measure: new THREE.MeshBasicMaterial({ color: '#d4145a', depthTest: false }),
  };
}
