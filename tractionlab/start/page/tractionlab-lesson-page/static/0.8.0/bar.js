// The slim bar above a lesson: lesson before, list, lesson after, what happens, text size, whole
// screen, and all of Jupyter.

import { choices, choose } from "./kept.js";
import { make } from "./make.js";

const SIZES = [100, 115, 130, 150, 175, 200]; // per cent

/** @param {string} words @param {() => void} act @param {Object<string, string>} more */
function button(words, act, more = {}) {
  const made = make("button", { type: "button", ...more }, words);
  made.addEventListener("click", act);
  return made;
}

export class Bar {
  /**
   * @param {{ path: string, title: string }[]} list the notebooks of the course in their order
   * @param {{ open: (path: string) => void, tools: () => void, read: () => void }} acts
   */
  constructor(list, acts) {
    this.list = list;
    this.acts = acts;
    this.place = -1;
    const word = (words) => make("span", { class: "tl-page-word" }, words);
    this.before = button("‹", () => acts.open(this.list[this.place - 1].path));
    this.before.append(word(" Previous"));
    this.after = button("", () => acts.open(this.list[this.place + 1].path));
    this.after.append(word("Next "), "›");
    this.titles = make("ol", { id: "tl-page-list", popover: "auto" });
    this.chosen = make("button", { type: "button", popovertarget: "tl-page-list" });
    this.words = make("span", { class: "tl-page-said", role: "status" });
    this.smaller = button("A−", () => this.step(-1), { "aria-label": "Smaller text" });
    this.larger = button("A+", () => this.step(1), { "aria-label": "Larger text" });
    this.screen = button("Whole screen", () => this.fill(), { "aria-pressed": "false" });
    this.nav = make("nav", { "aria-label": "Lessons" }, this.before, this.chosen, this.titles);
    this.nav.append(this.after);
    this.node = make(
      "header",
      { class: "tl-page-bar" },
      button("To the lesson", acts.read, { class: "tl-page-skip" }),
      this.nav,
      this.words,
      make("span", { class: "tl-page-sizes" }, this.smaller, this.larger),
      this.screen,
      button("Notebook tools", acts.tools),
    );
    this.fillList();
    this.size(choices().size);
    document.addEventListener("fullscreenchange", () => {
      this.screen.setAttribute("aria-pressed", String(Boolean(document.fullscreenElement)));
    });
  }

  fillList() {
    const rows = this.list.map(({ path, title }) => {
      const link = button(title, () => {
        this.titles.hidePopover();
        this.acts.open(path);
      });
      return make("li", {}, link);
    });
    this.titles.replaceChildren(...rows);
    this.nav.hidden = this.list.length < 2;
  }

  /** The page in front: its file's name and the title of its first heading. */
  show(name, title) {
    this.place = this.list.findIndex(({ path }) => path === name);
    this.chosen.textContent = this.list[this.place]?.title ?? title;
    this.before.disabled = this.place < 1;
    this.after.disabled = this.place < 0 || this.place === this.list.length - 1;
    [...this.titles.children].forEach((row, place) => {
      if (place === this.place) row.firstElementChild.setAttribute("aria-current", "page");
      else row.firstElementChild.removeAttribute("aria-current");
    });
  }

  /** @param {string} words */
  say(words) {
    if (this.words.textContent !== words) this.words.textContent = words;
  }

  step(by) {
    this.size(SIZES[SIZES.indexOf(this.percent) + by]);
    choose({ size: this.percent });
  }

  size(percent) {
    this.percent = SIZES.includes(percent) ? percent : SIZES[0];
    document.documentElement.style.setProperty("--tl-page-size", String(this.percent / 100));
    this.smaller.disabled = this.percent === SIZES[0];
    this.larger.disabled = this.percent === SIZES.at(-1);
  }

  fill() {
    if (document.fullscreenElement) document.exitFullscreen();
    else document.documentElement.requestFullscreen();
  }
}
