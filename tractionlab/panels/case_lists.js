// Lists of a repair case: what was read, what is still possible, what was done, and the points.
// They change in place, so that folds, ticks and focus stay.

import { labelFor } from "../paint/js/fields.js";
import { make } from "../paint/js/make.js";
import { table } from "../paint/js/table.js";
import { row, section } from "./case_steps.js";

export class Readings {
  constructor() {
    this.list = make("div", { class: "tl-readings" });
    this.none = make("p", {}, "None yet.");
    this.node = section("Readings, newest first", this.none, this.list);
  }

  show(taken) {
    const shown = /** @type {HTMLDetailsElement[]} */ ([...this.list.children]);
    shown.slice(taken.length).forEach((node) => node.remove());
    const known = new Set(shown.map((node) => node.dataset.key));
    for (const reading of taken) if (!known.has(reading[0])) this.add(reading);
    this.none.hidden = taken.length > 0;
  }

  add([key, name, when, rows]) {
    const placed = rows.some((cells) => cells[2]);
    const shown = placed ? rows : rows.map((cells) => cells.slice(0, 2));
    const head = ["What", "Reading", ...(placed ? ["Place"] : [])];
    const summary = make("summary", {}, when ? `${name}, ${when}` : name);
    this.list.prepend(
      make("details", { open: true, "data-key": key }, summary, table(name, shown, head)),
    );
    const older = /** @type {HTMLDetailsElement[]} */ ([...this.list.children].slice(2));
    for (const node of older) node.open = false;
  }
}

/**
 * The list of faults. While a new reading waits for the learner's word each fault has a box to
 * tick; ticks stay until the list changes.
 */
export class Possible {
  /** @param {import("./case_steps.js").Bench} bench */
  constructor({ id, send, button }) {
    this.id = id;
    this.listed = "";
    this.count = make("p", { tabindex: "-1" });
    this.list = make("ul", { class: "tl-left" });
    this.cross = row(button("Cross out what I ticked", () => {
      const out = this.ticks;
      this.count.focus();
      send("cross", { out });
    }, true));
    this.node = section("Still possible (practice)", this.count, this.list, this.cross);
  }

  get ticks() {
    /** @type {NodeListOf<HTMLInputElement>} */
    const boxes = this.list.querySelectorAll("input:checked");
    return [...boxes].map((box) => box.value);
  }

  /** In a silent case the list is the learner's own, and each fault keeps its box. */
  countWords(rows, due, silent) {
    const left = rows.filter(([, , still]) => still).length;
    const faults = rows.length === 1 ? "fault" : "faults", agree = left === 1 ? "agrees" : "agree";
    if (silent) {
      return `${left} of ${rows.length} ${faults} left in your list. ` +
        (due
          ? "Tick what your readings exclude. The case says nothing of it until the end."
          : "After your first reading you can cross out.");
    }
    return due
      ? "You have a new reading. Which of these does it exclude? Tick them."
      : `${left} of ${rows.length} ${faults} with this symptom ${agree} with all readings.`;
  }

  /** `rows` is null while the list is worked out: until then the last one stays. */
  show(rows, due, silent) {
    if (!rows) {
      this.count.textContent = "Before the last reading. The next list is still being worked " +
        "out and follows in a moment.";
      return;
    }
    this.count.textContent = this.countWords(rows, due, silent);
    this.cross.hidden = !due;
    const state = JSON.stringify([rows, due, silent]);
    if (state === this.listed) return;
    this.listed = state;
    this.list.replaceChildren(...rows.map((fault) => this.entry(fault, due, silent)));
  }

  entry([where, what, still, key], due, silent) {
    const words = `${where}, ${what}`;
    if (!due || !(still || silent)) {
      const state = still ? "possible" : "excluded";
      return make("li", { class: still ? "" : "tl-out" }, `${state}: ${words}`);
    }
    const box = make("input", {
      type: "checkbox",
      id: `${this.id}-out-${key}`,
      value: key,
      checked: silent && !still,
    });
    const entry = make("li", { class: "tl-option" });
    entry.append(box, labelFor(box, words));
    return entry;
  }
}

export class Result {
  /**
   * @param {import("./case_steps.js").Bench} bench
   * @param {() => void} again
   */
  constructor(bench, again) {
    this.again = () => row(bench.button("Start this car again", again));
    this.node = make("section", {
      class: "tl-part tl-result",
      tabindex: "-1",
      "aria-label": "Result",
    });
  }

  show(found, practice) {
    const { node } = this;
    node.hidden = !found;
    if (!found) node.replaceChildren();
    if (!found || node.childElementCount) return;
    const unsafe = "Not yet: an unsafe step ended the case";
    node.append(make("h4", {}, found.critical ? unsafe : `${found.total} of 100 points`));
    const lines = [
      found.critical,
      found.crossed,
      ...(found.truth
        ? [`The fault: ${found.truth}`, `Repair: ${found.repair}`, `Proof: ${found.verification}`]
        : []),
    ].filter(Boolean);
    node.append(...lines.map((line) => make("p", {}, line)));
    node.append(table("Points", found.rows, ["Criterion", "Points", "Of", "Why"]));
    const lost = found.deductions.map(([words, points]) =>
      make("li", {}, `${words}: minus ${points}`)
    );
    if (lost.length) node.append(make("ul", {}, ...lost));
    if (practice) node.append(this.again());
  }
}

export class TimeLine {
  constructor() {
    this.list = make("ol", { class: "tl-line" });
    this.node = section("Time line", this.list);
  }

  show(line) {
    this.list.replaceChildren(
      ...line.map(([time, words]) => make("li", {}, `${time}: ${words}`)),
    );
  }
}
