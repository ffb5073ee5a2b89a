// The page's line to the bench: what it asks, and what it is told.
const PATIENCE = 2000; // ms without an answer before it is said

export class Line {
  /** on: {show(state), say(words), searching(words, under way)}. */
  constructor(token, on) { Object.assign(this, { token, on }); }

  /**
   * Asks for something to be done, after all that was asked before, for requests overtake each
   * other; all pages are then told the state. Tells whether it was done. What is asked is written down
   * at once: the hand may change it while it waits.
   */
  post(what, asked) {
    const text = JSON.stringify(asked);
    this.pending = (this.pending ?? 0) + 1;
    this.last = (this.last ?? Promise.resolve()).then(() => this.posted(what, text)).finally(() => { this.pending--; });
    return this.last;
  }

  async posted(what, text) {
    const answer = await this.send(what, text);
    if (answer?.ok || answer?.status === 409) this.on.show(await answer.json());
    else if (answer) this.on.say((await answer.text()).trim());
    return Boolean(answer?.ok);
  }

  /** Asks for something that changes nothing; null where there is no answer. */
  async ask(what, asked) { return this.read(await this.send(what, JSON.stringify(asked))); }

  async get(what) { return this.read(await this.send(`${what}?token=${encodeURIComponent(this.token)}`)); }

  async read(answer) {
    if (answer?.ok) return answer.json();
    if (answer) this.on.say((await answer.text()).trim());
    return null;
  }

  async send(what, body) {
    const how = body === undefined ? {} : { method: 'POST', headers: { 'X-Token': this.token, 'Content-Type': 'application/json' }, body };
    try {
      return await fetch(what, how);
    } catch {
      this.on.say('The bench does not answer: it was ended, or the connection is lost. Nothing more is saved.');
      return null;
    }
  }

  listen() {
    const events = new EventSource(`events?token=${encodeURIComponent(this.token)}`);
    const told = (name, act) => events.addEventListener(name, (e) => act(JSON.parse(e.data)));
    told('state', (state) => this.on.show(state));
    told('search', (words) => this.on.searching(words, true));
    told('searched', (words) => this.on.searching(words, false));
    // The browser takes up a stream again that was cut, which is soon done where the bench runs.
    events.addEventListener('error', () => {
      this.lost ??= setTimeout(() => {
        this.told = true;
        this.on.say('The bench does not answer: was it ended? Trying again.');
      }, PATIENCE);
    });
    events.addEventListener('open', () => {
      clearTimeout(this.lost);
      if (this.told) this.on.say('The bench answers again.');
      this.lost = this.told = null;
    });
    addEventListener('pagehide', () => events.close());
  }
}
