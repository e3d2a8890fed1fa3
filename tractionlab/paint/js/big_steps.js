// Where a presenter is in a demonstration, and which step is asked for: presses that come too early
// or too fast are kept, an answer counts only for what it answers, and a step that comes late is
// still shown.

export class Steps {
  /** @param {(message: Object<string, any>) => void} send */
  constructor(send) {
    this.send = send;
    /** How many steps there are; null while that is not known. @type {number | null} */
    this.count = null;
    this.at = -1;
    /** The presenter's own steps, the course's, or whichever there are (null). */
    this.own = null;
    /** Under way; the newest that was asked for; the step that is wanted. */
    this.ask = this.newest = this.wanted = null;
    /** Pressed before the count was known. */
    this.early = null;
  }

  /** Ask which steps there are: the presenter's own (true), the course's (false), either (null). */
  look(own = this.own) {
    if (own !== this.own) this.at = -1;
    this.own = own;
    this.send({ kind: "steps", own });
  }

  /** So many steps on; false if there are none. */
  go(by) {
    if (this.count === null) this.early = by;
    if (!this.count) return this.count === null;
    const from = this.wanted ?? this.at;
    const to = Math.max(0, Math.min(this.count - 1, from + by));
    if (to === from && Number.isFinite(by)) return true;
    this.wanted = to;
    if (this.ask === null) this.askFor();
    return true;
  }

  askFor() {
    this.ask = this.newest = `big:${Math.random().toString(36).slice(2)}`;
    this.send({ kind: "step", at: this.wanted, own: this.own, ask: this.ask });
  }

  /** Is this the step that was asked for last? Then it is the one that is shown. */
  arrived(step) {
    if (!step || step.ask !== this.newest) return false;
    this.at = step.at;
    return true;
  }

  /** The computation has answered. */
  heard(answer) {
    const { early } = this, mine = Boolean(answer.ask) && answer.ask === this.ask;
    if (answer.count !== undefined) {
      const other = this.own !== null && this.own !== answer.own;
      this.count = answer.count;
      this.own = answer.own;
      if (other || this.at >= this.count) this.at = -1;
    }
    this.count ??= 0;
    if (mine) {
      this.ask = null;
      if (!answer.wrong && this.wanted !== this.at) this.askFor();
      else this.wanted = null;
    }
    this.early = null;
    if (early !== null) this.go(early);
  }

  /** No answer in time: the next press asks anew, and what comes late is welcome. */
  lost() {
    this.ask = this.wanted = null;
  }
}
