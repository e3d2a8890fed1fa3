// Tasks stand beside their panel, one at a time, so that words and picture are in one view. They
// are the numbered list right below the panel, or right above it, which the page hides meanwhile.

import { make } from "./make.js";
import { keepTasks, tasksIn } from "./kept.js";
import { Tried } from "./tried.js";

const BELOW = ":scope .jp-RenderedMarkdown > ol:first-child";
const BESIDE = 400; // px: a strip beside a panel is less wide
const ABOVE = ":scope .jp-RenderedMarkdown > ol:last-child";

/** @param {any} cell @param {string} kind */
const is = (cell, kind) => cell?.model.type === kind;

/**
 * Put a strip beside each panel of a notebook that has tasks.
 * @param {any} panel the notebook
 * @param {Object<string, Object<string, any>[][]>} runs for the id of a text with tasks: what is
 *   to be tried in each
 */
export function addTasks(panel, runs) {
  const cells = panel.content.widgets, path = panel.context.path;
  cells.forEach((cell, place) => {
    if (!is(cell, "code") || !cell.model.sharedModel.getSource().includes("_panel(")) return;
    const before = cells[place - 1], after = cells[place + 1];
    const strip = new Strip(cell, path);
    if (is(after, "markdown")) strip.follow(after.node, BELOW, runs[after.model.id]);
    if (is(before, "markdown")) strip.follow(before.node, ABOVE, runs[before.model.id]);
  });
}

class Strip {
  /** @param {any} cell that shows the panel @param {string} path of the notebook */
  constructor(cell, path) {
    this.cell = cell;
    this.path = path;
    const { at, done, saw } = tasksIn(path)[cell.model.id] ?? {};
    this.at = at ?? 0;
    /** @type {Set<number>} */
    this.done = new Set(done ?? []);
    /** What the panel said when a task was done. @type {Object<number, string>} */
    this.saw = saw ?? {};
    /** @type {Tried[]} */
    this.tried = [];
    /** @type {HTMLElement | null} */
    this.list = null;
    this.count = make("h3", {});
    this.words = make("div", { class: "tl-task-words", "aria-live": "polite" });
    this.said = make("p", { class: "tl-task-saw", "aria-live": "polite" });
    this.tick = make("input", { type: "checkbox" });
    this.tick.addEventListener("change", () => this.ticked());
    this.before = this.button("‹ Before", -1);
    this.after = this.button("Next task ›", 1);
    this.node = make(
      "section",
      { class: "tl-tasks", "aria-label": "Tasks" },
      this.count,
      this.words,
      make("label", {}, this.tick, " Done"),
      this.said,
      make("div", { class: "tl-task-buttons" }, this.before, this.after),
    );
  }

  button(words, by) {
    const made = make("button", { type: "button" }, words);
    made.addEventListener("click", () => this.show(this.at + by));
    return made;
  }

  /** Take the list from a text; the text may be drawn later, and again. */
  follow(text, where, runs = []) {
    const look = () => {
      const list = text.querySelector(where);
      if (!list || list === this.list || this.list?.isConnected) return;
      if (!this.list) this.watch(runs);
      this.take(list);
    };
    new MutationObserver(look).observe(text, { childList: true, subtree: true });
    look();
  }

  /** Each picture that the panel shows may be what the task in view asks for. */
  watch(runs) {
    this.tried = runs.map((one) => new Tried(one));
    new MutationObserver(() => {
      const shown = this.cell.node.querySelector(".tl-panel");
      if (!shown?.dataset.values || this.done.has(this.at)) return;
      if (shown.classList.contains("tl-big")) return; // somebody shows it to a hall
      if (!this.tried[this.at]?.see(JSON.parse(shown.dataset.values))) return;
      this.done.add(this.at);
      this.saw[this.at] = shown.querySelector(".tl-sentence").textContent;
      this.mark();
    }).observe(this.cell.node, { attributeFilter: ["data-pictures"], subtree: true });
  }

  take(list) {
    this.list = list;
    list.classList.add("tl-in-strip");
    this.cell.node.append(this.node);
    this.cell.node.classList.add("tl-with-tasks");
    // Beside the panel it is narrow and goes along with it, above it is wide and stays above.
    const place = () => this.node.classList.toggle("tl-above", this.node.offsetWidth > BESIDE);
    new ResizeObserver(place).observe(this.cell.node);
    this.show(Math.min(this.at, list.children.length - 1));
  }

  show(at) {
    const all = this.list.children.length;
    this.at = at;
    this.words.replaceChildren(...this.list.children[at].cloneNode(true).childNodes);
    this.tried.forEach((one) => one.forget());
    this.before.disabled = at === 0;
    this.after.disabled = at === all - 1;
    this.mark();
  }

  ticked() {
    if (this.tick.checked) this.done.add(this.at);
    else {
      this.done.delete(this.at);
      delete this.saw[this.at];
      this.tried[this.at]?.forget();
    }
    this.mark();
  }

  /** Show whether the task in view is done, and keep that. */
  mark() {
    const saw = this.saw[this.at];
    this.tick.checked = this.done.has(this.at);
    this.said.textContent = saw ? `You tried it: ${saw}` : "";
    const all = this.list.children.length, count = this.done.size;
    this.count.textContent = `Task ${this.at + 1} of ${all}${count ? `, ${count} done` : ""}`;
    const state = { at: this.at, done: [...this.done], saw: this.saw };
    keepTasks(this.path, this.cell.model.id, state);
  }
}
