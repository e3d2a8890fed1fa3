// Reasons: why the control unit does what it does at the time cursor, a sentence for each wheel and
// for the torque, and buttons that go from decision to decision.

import { make, say } from "./make.js";

const LINE = 17; // height of a line of text
const SOON = 1e-4; // s: two times that differ by less are the same

/**
 * Number of the decision with which the next (step 1) or previous (step -1) moment of decision
 * begins, seen from `time`; -1 if there is none.
 * @param {any[][]} decisions in order of time
 * @param {number} time
 * @param {1 | -1} step
 */
export function momentFrom(decisions, time, step) {
  if (step > 0) return decisions.findIndex(([at]) => at > time + SOON);
  const before = decisions.filter(([at]) => at < time - SOON);
  if (!before.length) return -1;
  return decisions.findIndex(([at]) => at > before[before.length - 1][0] - SOON);
}

/**
 * For each lane the number of its last decision at `time`, or -1.
 * @param {any[][]} decisions in order of time
 * @param {number} lanes how many there are
 * @param {number} time
 */
export function decisionsAt(decisions, lanes, time) {
  const last = new Array(lanes).fill(-1);
  for (let n = 0; n < decisions.length && decisions[n][0] <= time + SOON; n++) {
    last[decisions[n][1]] = n;
  }
  return last;
}

export class Reasons {
  /**
   * @param {HTMLElement} host
   * @param {(time: number) => void} go moves the time cursor
   * @param {(words: string) => void} read reads words out
   */
  constructor(host, go, read) {
    this.host = host;
    this.go = go;
    this.read = read;
    this.shown = null;
    this.time = null;
    this.pen = document.createElement("canvas").getContext("2d");
    /** @type {Map<string, number>} widths of letters in its font [px] */
    this.letters = new Map();
    const button = (words) => make("button", { type: "button" }, words);
    this.back = button("Previous decision");
    this.forward = button("Next decision");
    this.back.addEventListener("click", () => this.step(-1));
    this.forward.addEventListener("click", () => this.step(1));
    this.list = make("ul", { "aria-label": "Why, at this time" });
    this.items = [];
    host.append(make("div", { class: "tl-moves" }, this.back, this.forward), this.list);
  }

  set(shown) {
    this.shown = shown ?? null;
    this.host.hidden = !shown;
    if (!shown) return;
    const { lanes } = shown;
    if (this.items.length !== lanes.length) {
      this.items = lanes.map(() => make("li"));
      this.list.replaceChildren(...this.items);
      this.wide = 0;
    }
    this.cursor(this.time ?? 0);
  }

  /** The width may be another one. */
  arrange() {
    const { clientWidth: wide } = this.list;
    if (!this.shown || !wide) return;
    if (wide !== this.wide) this.lines = this.shown.lanes.map(() => 1);
    this.wide = wide;
    this.pen.font = `600 ${getComputedStyle(this.list).font}`; // as the newest one is written
    this.letters.clear();
    this.makeRoom();
  }

  /**
   * Room for the longest sentence of each lane, so that nothing below moves with the cursor. It
   * asks for no width that is known: the browser would lay out the whole page to answer.
   */
  makeRoom() {
    if (!this.shown) return;
    if (!this.wide) return this.arrange();
    for (const [, lane, words] of this.shown.decisions) {
      const lines = Math.ceil(1.06 * this.widthOf(words) / this.wide);
      if (lines > this.lines[lane]) this.lines[lane] = lines;
    }
    this.items.forEach((item, lane) => {
      item.style.minHeight = `${LINE * this.lines[lane]}px`;
    });
  }

  // Of hundreds of sentences with each picture; a letter is measured once.
  widthOf(words) {
    let width = 0;
    for (const letter of words) {
      if (!this.letters.has(letter)) {
        this.letters.set(letter, this.pen.measureText(letter).width);
      }
      width += this.letters.get(letter);
    }
    return width;
  }

  cursor(time) {
    this.time = time;
    if (!this.shown || time === null) return;
    const { decisions, lanes } = this.shown;
    decisionsAt(decisions, lanes.length, time).forEach((n, lane) => {
      const item = this.items[lane], { label, rest } = lanes[lane];
      say(item, n < 0 ? `${label}: ${rest}.` : decisions[n][2]);
      item.classList.toggle("tl-now", n >= 0 && Math.abs(decisions[n][0] - time) < SOON);
    });
  }

  /** @param {1 | -1} step */
  step(step) {
    const { decisions } = this.shown, first = momentFrom(decisions, this.time, step);
    if (first < 0) {
      this.read(step > 0 ? "There is no later decision." : "There is no earlier decision.");
      return;
    }
    const at = decisions[first][0];
    this.go(at);
    this.read(
      decisions.slice(first).filter(([time]) => time < at + SOON).map(([, , words]) => words).join(
        " ",
      ),
    );
  }
}
