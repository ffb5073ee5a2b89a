// The bench: boxes are moved by hand, the server judges every move.
import { Flat, VIEWS } from './flat.js';
import { Line } from './line.js';
import { Photo } from './photo.js';
import { Shapes } from './shapes.js';
import { Space } from './space.js';

const byId = (id) => document.getElementById(id);

const LAG = 100; // ms
const TYPED = ['INPUT', 'SELECT', 'TEXTAREA'];

/** Starts the bench. */
export function bench(data) { new Bench(data); }

class Bench {
  constructor(data) {
    Object.assign(this, { state: data.bench, scene: data.bench.scene, chosen: -1, waiting: [] });
    const on = {
      choose: (i) => this.choose(i),
      centre: (i) => (this.state.boxes[i].pinned ? null : [...this.state.layout.boxes[i].centre]),
      drag: (i, centre, axes, begins, free) => this.move(i, centre, free ? [] : axes, begins),
      key: (e, i, axes) => this.key(e, i, axes),
    };
    this.line = new Line(data.token, { show: (s) => this.show(s), say: (words) => this.say(words), searching: (words, now) => this.searching(words, now) });
    this.flats = VIEWS.map((v) => new Flat(v, data.scene, on));
    byId('views').append(...this.flats.map((f) => f.node));
    this.shapes = new Shapes(byId('shapes'), this.flats, { change: (shape) => this.line.post('shape', shape), say: (words) => this.say(words) });
    this.photo = new Photo(byId('photo'), this.flats[0], { straighten: (marks) => this.line.ask('straighten', marks), say: (words) => this.say(words) });
    this.shapes.load(data.shapes);
    this.inSpace(data.scene, on);
    this.buttons();
    this.show(this.state);
    this.line.listen();
    window.atRest = () => this.rests();
  }

  /** Whether all that was asked for is answered and shown; tests wait for that. */
  rests() { return !this.line.pending && !this.loading && this.state.scene <= this.scene && !this.shapes.underWay(); }

  inSpace(scene, on) {
    try {
      this.space = new Space(document.querySelector('#space canvas'), document.querySelector('#space .plates'), scene, on);
    } catch {
      byId('space').textContent = 'This browser has no WebGL, so there is no picture in space. The drawings show the same.';
    }
  }

  /** Draws another frame or pack, while the photo and what is chosen stay. */
  async load() {
    if (this.loading) return;
    this.loading = true;
    const data = await this.line.get('scene');
    this.loading = false;
    if (!data) return;
    this.scene = data.bench.scene;
    document.documentElement.dataset.unit = data.unit;
    byId('pack').textContent = data.pack;
    byId('frame').textContent = data.frame;
    const focused = document.activeElement?.dataset?.box, at = this.flats.findIndex((f) => f.svg.contains(document.activeElement));
    this.flats.forEach((f) => f.load(data.scene));
    this.space?.load(data.scene);
    this.drawn = false;
    this.show(data.bench.revision < this.state.revision ? this.state : data.bench);
    if (at >= 0 && focused) this.flats[at].items[focused]?.shape.focus({ preventScroll: true });
    this.shapes.load(data.shapes);
    this.photo.behind();
  }

  buttons() {
    const on = (id, act) => byId(id).addEventListener('click', act);
    on('undo', () => this.line.post('undo', {}));
    on('redo', () => this.line.post('redo', {}));
    ['theirs', 'beside', 'over'].forEach((choice) => on(choice, () => this.line.post('answer', choice)));
    on('save', () => this.save());
    on('fit', () => this.line.post('fit', {}));
    on('stop', () => this.line.post('stop', {}));
    on('pin', () => this.act('pin'));
    document.querySelectorAll('[data-how]').forEach((b) => b.addEventListener('click', () => this.act(b.dataset.how)));
    addEventListener('keydown', (e) => (e.ctrlKey || e.metaKey ? this.command(e) : this.letter(e)));
    addEventListener('beforeunload', (e) => { if (this.state.unsaved) e.preventDefault(); });
  }

  async save() {
    await this.line.post('save', {});
    if (this.state.question) byId(this.state.question.theirs ? 'theirs' : 'beside').focus();
  }

  /** Ctrl Z, Ctrl Shift Z or Ctrl Y, Ctrl S. */
  command(e) {
    const what = { z: e.shiftKey ? 'redo' : 'undo', y: 'redo', s: 'save' }[e.key.toLowerCase()];
    if (!what || (what !== 'save' && TYPED.includes(e.target.tagName))) return;
    e.preventDefault();
    if (what === 'save') this.save();
    else this.line.post(what, {});
  }

  /** R, S, T and P are for the chosen box, where the focus is in a drawing or in the picture in space. */
  letter(e) {
    const how = { r: 'turn', s: 'stand', t: 'tilt', p: 'pin' }[e.key.toLowerCase()];
    if (!how || e.altKey || this.chosen < 0 || !e.target.closest('#views, #space')) return;
    e.preventDefault();
    this.act(how);
  }

  /** What an arrow key does at a box; axes are those of the drawing that it was pressed in. */
  key(e, i, [u, v]) {
    if (e.ctrlKey || e.metaKey) return;
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
    this.line.post(how === 'pin' ? 'pin' : 'turn', { box, number, how });
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
    await this.line.post('moves', moves);
    this.sending = false;
    if (this.waiting.length) this.send();
    else this.aim = null;
  }

  searching(words, on) {
    byId('stop').hidden = !on;
    byId('fit').hidden = on;
    this.say(words);
  }

  say(words) { byId('saying').textContent = words; }

  /** Shows a state, unless a newer one is shown already. */
  show(state) {
    if (state.revision < this.state.revision) return;
    const said = state.revision > this.state.revision;
    const moved = !this.drawn || said;
    this.state = state;
    if (state.scene > this.scene) this.load();
    else if (moved || this.chosen !== this.marked) this.draw();
    if (said) this.say(state.saying);
    this.words();
  }

  draw() {
    this.drawn = true;
    this.marked = this.chosen;
    this.flats.forEach((f) => f.show(this.state, this.chosen));
    this.inSpaceSoon();
  }

  /**
   * The picture in space follows the hand that is in it; a hand in the drawings does not wait for
   * it, for where there is no graphics card it takes longer than they do.
   */
  inSpaceSoon() {
    if (!this.space) return;
    if (this.space.held || !this.space.viewer.layout) this.space.show(this.state.layout);
    else this.soon ??= setTimeout(() => { this.soon = null; this.space.show(this.state.layout); }, LAG);
  }

  /** What is told beside the drawings. */
  words() {
    const { state } = this, line = (text) => Object.assign(document.createElement('li'), { textContent: text });
    byId('headline').textContent = state.headline;
    byId('headline').className = state.holds ? 'good' : 'bad';
    byId('tightest').replaceChildren(...state.tightest.map(line));
    byId('faults').replaceChildren(...state.faults.map(line));
    byId('undo').disabled = !state.undo;
    byId('redo').disabled = !state.redo;
    byId('save').disabled = !state.unsaved;
    const box = state.boxes[this.chosen];
    if (box) byId('box-name').textContent = `${state.layout.boxes[this.chosen].name}${box.pinned ? ', pinned' : ''}`;
    byId('pin').textContent = box?.pinned ? 'Take the pin out' : 'Pin';
    this.ask(state.question);
  }

  /** A file was changed elsewhere: what is to be done is asked until it is answered. */
  ask(question) {
    const key = JSON.stringify(question);
    if (key === this.asked) return;
    this.asked = key;
    byId('question').hidden = !question;
    if (!question) return;
    byId('question-words').textContent = question.words;
    byId('theirs').hidden = !question.theirs;
    byId('beside').textContent = `Keep mine, save it beside as ${question.beside}`;
    byId('over').textContent = `Write mine over ${question.over}`;
  }
}
