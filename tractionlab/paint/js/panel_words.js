// Words of a panel: its sentence and figures, what is said aloud, and what the learner shall find
// first.

import { make, say } from "./make.js";
import { table } from "./table.js";

export class Words {
  /** @param {import("./panel_frame.js").Frame} frame */
  constructor(model, frame) {
    this.model = model;
    this.frame = frame;
    this.shown = null;
    this.labels = null;
    this.waiting = null;
    this.tables = "";
  }

  sayLater(text, wait) {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => say(this.frame.voice, text), wait);
  }

  tell(text, wrong = false) {
    const { note, voice } = this.frame;
    for (const node of [note, voice]) say(node, text);
    note.classList.toggle("tl-error", wrong);
  }

  /**
   * What the learner shall find first stays out of the words until it is asked for, after a
   * control was moved.
   */
  get holds() {
    const { held, figures } = this.shown;
    return !this.model.get("told") && (held.length > 0 || figures.some((figure) => figure.held));
  }

  /** The sentence without what is held back. */
  get open() {
    const { held, sentence } = this.shown;
    return this.holds
      ? held.reduce((words, piece) => words.replace(piece, ""), sentence)
      : sentence;
  }

  show(shown) {
    this.shown = shown;
    const { sentence, value } = this.frame, words = this.open;
    say(sentence, words);
    value.hidden = !this.holds;
    this.showTables(shown.tables ?? []);
    const kept = { value: "yours to find", unit: "" };
    this.showFigures(
      shown.figures.map((figure) => figure.held && this.holds ? { ...figure, ...kept } : figure),
    );
  }

  showFigures(list) {
    const { figures } = this.frame, labels = list.map((figure) => figure.label).join("\n");
    if (labels !== this.labels) {
      this.labels = labels;
      figures.replaceChildren(
        ...list.map((figure) => make("div", {}, make("dt", {}, figure.label), make("dd"))),
      );
      figures.hidden = !list.length;
    }
    figures.querySelectorAll("dd").forEach((dd, i) => {
      say(dd, `${list[i].value} ${list[i].unit}`.trim().replace(/^-/, "\u2212"));
    });
  }

  /** Tables change as a whole, and only when a cell is another one. */
  showTables(tables) {
    const state = JSON.stringify(tables);
    if (state === this.tables) return;
    this.tables = state;
    this.frame.tables.replaceChildren(
      ...tables.flatMap(({ title, rows, head, empty }) =>
        rows.length
          ? [table(title, rows, head, "")]
          : [make("p", {}, make("strong", {}, `${title}: `), empty)]
      ),
    );
  }

  /** What was held back is told for good. */
  reveal() {
    this.model.set("told", true);
    this.model.save_changes();
    this.frame.print.focus();
    this.show(this.shown);
    this.tell("");
    this.sayLater(this.shown.sentence, 0);
  }

  stop() {
    clearTimeout(this.waiting);
  }
}
