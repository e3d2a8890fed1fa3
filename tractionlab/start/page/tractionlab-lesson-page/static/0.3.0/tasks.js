// Tasks stand beside their panel, one at a time, so that words and picture are in one view. They
// are the numbered list right below the panel, or right above it, which the page hides meanwhile.

import { make } from "./make.js";
import { keepTasks, tasksIn } from "./kept.js";

const BELOW = ":scope .jp-RenderedMarkdown > ol:first-child";
const ABOVE = ":scope .jp-RenderedMarkdown > ol:last-child";

/** @param {any} cell @param {string} kind */
const is = (cell, kind) => cell?.model.type === kind;

/**
 * Put a strip beside each panel of a notebook that has tasks.
 * @param {any} panel the notebook
 */
export function addTasks(panel) {
  const cells = panel.content.widgets, path = panel.context.path;
  cells.forEach((cell, place) => {
    if (!is(cell, "code") || !cell.model.sharedModel.getSource().includes("_panel(")) return;
    const before = cells[place - 1], after = cells[place + 1];
    const strip = new Strip(cell, path);
    if (is(after, "markdown")) strip.follow(after.node, BELOW);
    if (is(before, "markdown")) strip.follow(before.node, ABOVE);
  });
}

class Strip {
  /** @param {any} cell that shows the panel @param {string} path of the notebook */
  constructor(cell, path) {
    this.cell = cell;
    this.path = path;
    const { at, done } = tasksIn(path)[cell.model.id] ?? {};
    this.at = at ?? 0;
    /** @type {Set<number>} */
    this.done = new Set(done ?? []);
    /** @type {HTMLElement | null} */
    this.list = null;
    this.count = make("h3", {});
    this.words = make("div", { class: "tl-task-words", "aria-live": "polite" });
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
      make("div", { class: "tl-task-buttons" }, this.before, this.after),
    );
  }

  button(words, by) {
    const made = make("button", { type: "button" }, words);
    made.addEventListener("click", () => this.show(this.at + by));
    return made;
  }

  /** Take the list from a text; the text may be drawn later, and again. */
  follow(text, where) {
    const look = () => {
      const list = text.querySelector(where);
      if (list && list !== this.list && !this.list?.isConnected) this.take(list);
    };
    new MutationObserver(look).observe(text, { childList: true, subtree: true });
    look();
  }

  take(list) {
    this.list = list;
    list.classList.add("tl-in-strip");
    this.cell.node.append(this.node);
    this.cell.node.classList.add("tl-with-tasks");
    this.show(Math.min(this.at, list.children.length - 1));
  }

  show(at) {
    const all = this.list.children.length;
    this.at = at;
    this.count.textContent = `Task ${at + 1} of ${all}`;
    this.words.replaceChildren(...this.list.children[at].cloneNode(true).childNodes);
    this.tick.checked = this.done.has(at);
    this.before.disabled = at === 0;
    this.after.disabled = at === all - 1;
    this.keep();
  }

  ticked() {
    if (this.tick.checked) this.done.add(this.at);
    else this.done.delete(this.at);
    this.keep();
  }

  keep() {
    keepTasks(this.path, this.cell.model.id, { at: this.at, done: [...this.done] });
  }
}
