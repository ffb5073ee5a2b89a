// The bench: boxes are moved by hand, the server judges every move.
import * as THREE from 'three';
import { Flat, VIEWS } from './flat.js';
import { Trace } from './trace.js';
import { Viewer } from './viewer.js';

const byId = (id) => document.getElementById(id);

const REST = 120; // ms without a move

/** Starts the bench. */
export function bench(data) { new Bench(data); }

class Bench {
  constructor(data) {
    Object.assign(this, { token: data.token, state: data.bench, chosen: -1, waiting: [] });
    const on = {
      choose: (i) => this.choose(i),
      centre: (i) => (this.state.boxes[i].pinned ? null : [...this.state.layout.boxes[i].centre]),
      drag: (i, centre, axes, begins, free) => this.move(i, centre, free ? [] : axes, begins),
      key: (e, i, axes) => this.key(e, i, axes),
    };
    this.flats = VIEWS.map((v) => new Flat(v, data.scene, on));
    byId('views').append(...this.flats.map((f) => f.node));
    this.trace = new Trace(this.flats[0], data.token);
    this.inSpace(data.scene, on);
    this.buttons();
    this.show(this.state);
    this.listen();
  }

  inSpace(scene, on) {
    const canvas = document.querySelector('#space canvas');
    try {
      this.viewer = new Viewer(canvas, document.querySelector('#space .plates'), scene, () => {});
    } catch {
      byId('space').textContent = 'This browser has no WebGL, so there is no picture in space. The drawings show the same.';
      return;
    }
    let held = null;
    const ray = (e) => {
      const r = canvas.getBoundingClientRect(), caster = new THREE.Raycaster();
      caster.setFromCamera(new THREE.Vector2(2 * (e.clientX - r.left) / r.width - 1, 1 - 2 * (e.clientY - r.top) / r.height), this.viewer.camera);
      return caster;
    };
    // Before the view's own listener, so that a box that is dragged does not turn the view.
    canvas.addEventListener('pointerdown', (e) => {
      const hits = this.viewer.boxes.map((b, i) => ({ i, hit: ray(e).intersectObject(b.object, true)[0] })).filter((h) => h.hit);
      hits.sort((a, b) => a.hit.distance - b.hit.distance);
      const centre = hits.length && on.centre(hits[0].i);
      if (hits.length) this.choose(hits[0].i);
      if (!centre) return;
      e.stopImmediatePropagation();
      const plane = new THREE.Plane(new THREE.Vector3(0, 0, 1), -hits[0].hit.point.z);
      held = { i: hits[0].i, plane, from: hits[0].hit.point.clone(), centre, begins: true };
      canvas.setPointerCapture(e.pointerId);
    }, { capture: true });
    canvas.addEventListener('pointermove', (e) => {
      const now = held && ray(e).ray.intersectPlane(held.plane, new THREE.Vector3());
      if (!now) return;
      const centre = [...held.centre];
      [0, 1].forEach((a) => { centre[a] += Math.round(10 * (now.getComponent(a) - held.from.getComponent(a))) / 10; });
      this.move(held.i, centre, e.altKey ? [] : [0, 1], held.begins);
      held.begins = false;
    });
    ['pointerup', 'pointercancel'].forEach((n) => canvas.addEventListener(n, () => { held = null; }));
  }

  buttons() {
    const on = (id, act) => byId(id).addEventListener('click', act);
    on('undo', () => this.post('undo', {}));
    on('redo', () => this.post('redo', {}));
    on('save', () => this.post('save', {}));
    on('fit', () => this.post('fit', {}));
    on('stop', () => this.post('stop', {}));
    on('pin', () => this.act('pin'));
    document.querySelectorAll('[data-how]').forEach((b) => b.addEventListener('click', () => this.act(b.dataset.how)));
    addEventListener('keydown', (e) => {
      if (!e.ctrlKey && !e.metaKey) return;
      const what = { z: e.shiftKey ? 'redo' : 'undo', y: 'redo', s: 'save' }[e.key.toLowerCase()];
      if (!what) return;
      e.preventDefault();
      this.post(what, {});
    });
    addEventListener('beforeunload', (e) => { if (this.state.unsaved) e.preventDefault(); });
  }

  /** What a key does at a box; axes are those of the drawing that it was pressed in. */
  key(e, i, [u, v]) {
    if (e.ctrlKey || e.metaKey) return;
    const how = { r: 'turn', s: 'stand', t: 'tilt', p: 'pin' }[e.key.toLowerCase()];
    if (how) {
      e.preventDefault();
      this.act(how);
      return;
    }
    const step = { ArrowLeft: [u, -1], ArrowRight: [u, 1], ArrowUp: [v, 1], ArrowDown: [v, -1] }[e.key];
    if (!step || this.state.boxes[i].pinned) return;
    e.preventDefault();
    const centre = [...(this.aim?.i === i ? this.aim.centre : this.state.layout.boxes[i].centre)];
    centre[step[0]] += step[1] * (e.shiftKey ? 10 : 1);
    this.move(i, centre, [], true);
  }

  choose(i) {
    this.chosen = i;
    this.show(this.state);
  }

  act(how) {
    if (this.chosen < 0) {
      this.say('Choose a box first.');
      return;
    }
    const { box, number } = this.state.boxes[this.chosen];
    this.post(how === 'pin' ? 'pin' : 'turn', { box, number, how });
  }

  /** Moves wait for the answer to those before them and then go together, so that none is lost. */
  move(i, centre, snap, begins) {
    const { box, number } = this.state.boxes[i];
    this.aim = { i, centre };
    this.waiting.push({ box, number, centre, snap, begins });
    this.send();
  }

  async send() {
    if (this.sending || !this.waiting.length) return;
    this.sending = true;
    const moves = this.waiting.splice(0);
    await this.post('moves', moves);
    this.sending = false;
    if (this.waiting.length) this.send();
    else this.aim = null;
  }

  async post(what, asked) {
    try {
      const answer = await fetch(what, { method: 'POST', headers: { 'X-Token': this.token, 'Content-Type': 'application/json' }, body: JSON.stringify(asked) });
      if (answer.ok) this.show(await answer.json());
      else this.say((await answer.text()).trim());
    } catch {
      this.say('The bench does not answer: it was ended, or the connection is lost. Nothing more is saved.');
    }
  }

  listen() {
    const events = new EventSource(`events?token=${encodeURIComponent(this.token)}`);
    events.addEventListener('state', (e) => this.show(JSON.parse(e.data)));
    events.addEventListener('search', (e) => this.searching(JSON.parse(e.data), true));
    events.addEventListener('searched', (e) => this.searching(JSON.parse(e.data), false));
    events.addEventListener('trouble', (e) => this.say(JSON.parse(e.data)));
    events.addEventListener('reload', () => { this.state.unsaved = false; location.reload(); });
    events.addEventListener('error', () => this.say('The bench does not answer; trying again.'));
  }

  searching(words, on) {
    byId('stop').hidden = !on;
    byId('fit').hidden = on;
    this.say(words);
  }

  say(words) { byId('saying').textContent = words; }

  /** The picture in space is made anew, so it waits until the hand rests; the drawings do not. */
  showInSpace() {
    if (!this.viewer) return;
    clearTimeout(this.soon);
    const now = () => this.viewer.show({ ...this.state.layout, rack: this.state.layout.rack ?? null });
    if (this.viewer.layout) this.soon = setTimeout(now, REST);
    else now();
  }

  /** Shows a state, unless a newer one is shown already. */
  show(state) {
    if (state.revision < this.state.revision) return;
    const said = state.revision > this.state.revision;
    const moved = !this.drawn || said;
    this.drawn = true;
    this.state = state;
    this.flats.forEach((f) => f.show(state, this.chosen));
    if (moved) this.showInSpace();
    const line = (text) => Object.assign(document.createElement('li'), { textContent: text });
    byId('headline').textContent = state.headline;
    byId('headline').className = state.holds ? 'good' : 'bad';
    byId('tightest').replaceChildren(...state.tightest.map(line));
    byId('faults').replaceChildren(...state.faults.map(line));
    byId('undo').disabled = !state.undo;
    byId('redo').disabled = !state.redo;
    byId('save').disabled = !state.unsaved;
    if (said) this.say(state.saying);
    const box = state.boxes[this.chosen];
    if (box) byId('box-name').textContent = `${state.layout.boxes[this.chosen].name}${box.pinned ? ', pinned' : ''}`;
    byId('pin').textContent = box?.pinned ? 'Take the pin out' : 'Pin';
  }
}
