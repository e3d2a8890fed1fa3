// The big screen of a guess: question and answers fill it in letters that a hall can read, or the
// axes to draw in. The keys are those of a panel's big screen: a step is an answer here, a picture
// the question or the axes. Once the guess is written down, P goes on to the panel that it opens.

import { Stage } from "./big_stage.js";
import { make, say } from "./make.js";

const STEPS = { PageDown: 1, PageUp: -1, ArrowRight: 1, ArrowLeft: -1 };
const TURNS = ["ArrowDown", "ArrowUp"];
// px of letters before the stage magnifies them: as large as what is asked fits.
const LARGEST = 22, SMALLEST = 12;

export class BigCard {
  /**
   * @param {HTMLElement} root the card
   * @param {HTMLElement} body what it asks
   * @param {() => any} drawn the axes to draw in (sketch.js), if there are any
   */
  constructor(root, body, drawn) {
    this.root = root;
    this.body = body;
    this.drawn = drawn;
    this.picture = "question";
    const button = (words, act) => {
      const made = make("button", { type: "button" }, words);
      made.addEventListener("click", act);
      return made;
    };
    this.button = button("Big screen (P)", () => this.open());
    this.button.className = "tl-big-screen";
    this.hint = make("span", { class: "tl-big-hint" });
    this.write = button("Write down", () => this.keep());
    this.turner = button("", () => this.turn());
    this.onward = button("To the panel", () => this.goOn());
    const parts = [
      this.hint,
      this.write,
      this.turner,
      this.onward,
      button("Back", () => this.close()),
    ];
    root.append(
      make("div", { class: "tl-big-line", role: "group", "aria-label": "Keys" }, ...parts),
    );
    this.stage = new Stage(root, {
      key: (event) => this.key(event),
      size: () => this.fit(),
      close: () => this.close(),
    });
  }

  get radios() {
    return /** @type {HTMLInputElement[]} */ ([...this.body.querySelectorAll("input[type=radio]")]);
  }

  /** The box of a number, or the boxes of the points of a drawing. */
  get boxes() {
    const found = this.body.querySelectorAll("fieldset input[type=text], .tl-entry input");
    return /** @type {HTMLInputElement[]} */ ([...found]).filter((box) =>
      Boolean(box.closest(".tl-drawn")) === (this.picture === "drawing")
    );
  }

  /** Is the guess still to be written down? */
  get waits() {
    return this.root.classList.contains("tl-waits");
  }

  async open() {
    if (this.stage.on) return;
    await this.stage.open(this.button);
    this.show("question");
  }

  /** @param {boolean} goesOn */
  close(goesOn = false) {
    if (!this.stage.on) return;
    this.stage.close(goesOn);
    this.root.style.removeProperty("--tl-letters");
    this.drawn()?.full();
  }

  /** @param {string} picture question or drawing */
  show(picture) {
    this.picture = this.drawn() ? picture : "question";
    this.root.dataset.picture = this.picture;
    this.root.focus();
    this.refresh();
    if (this.waits) this.boxes[0]?.focus();
  }

  turn() {
    this.show(this.picture === "drawing" ? "question" : "drawing");
  }

  /** The card shows another face, or another picture of it. */
  refresh() {
    if (!this.stage.on) return;
    if (this.picture === "drawing" && !this.drawn()) return this.show("question");
    const { length } = this.radios;
    this.write.hidden = !this.waits;
    this.onward.hidden = this.waits;
    this.turner.hidden = !this.drawn();
    say(this.turner, this.picture === "drawing" ? "Question" : "Axes");
    say(
      this.hint,
      !this.waits
        ? "P: to the panel"
        : this.picture === "drawing"
        ? "Arrow keys: point, value"
        : length
        ? `Keys 1 to ${length}, Enter`
        : "Type a number, Enter",
    );
    this.fit();
  }

  /** Letters as large as question and answers allow; the axes fill what is left. */
  fit() {
    const { body, root } = this;
    if (this.picture === "drawing") {
      root.style.setProperty("--tl-letters", `${SMALLEST}px`);
      const [form, axes] = [...body.querySelectorAll("form, .tl-drawn canvas")].map((node) =>
        /** @type {HTMLElement} */ (node).offsetHeight
      );
      return this.drawn()?.fit(body.clientWidth, body.clientHeight - form + axes);
    }
    for (let letters = LARGEST; letters >= SMALLEST; letters -= 0.5) {
      root.style.setProperty("--tl-letters", `${letters}px`);
      if (body.scrollHeight <= body.clientHeight && body.scrollWidth <= body.clientWidth) return;
    }
  }

  /** @param {(at: number) => number} which from the number of the answer chosen, -1 for none */
  choose(which) {
    const { radios } = this, at = which(radios.findIndex((radio) => radio.checked));
    if (!this.waits || !radios[at]) return;
    radios[at].checked = true;
    radios[at].dispatchEvent(new Event("input", { bubbles: true }));
  }

  /** @param {number} by so many points on */
  point(by) {
    const { boxes } = this, at = boxes.findIndex((box) => box === document.activeElement);
    boxes[Math.max(0, Math.min(boxes.length - 1, at + by))]?.focus();
  }

  keep() {
    if (this.waits) this.body.querySelector("form")?.requestSubmit();
  }

  /** To the panel below, on the same screen. */
  goOn() {
    const all = [...document.querySelectorAll(".tl-card, .tl-panel")];
    const panel = all.slice(all.indexOf(this.root)).find((one) => one.matches(".tl-panel"));
    /** @type {HTMLElement | null | undefined} */
    const button = panel?.querySelector(".tl-big-screen");
    const there = Boolean(button?.checkVisibility());
    this.close(there);
    if (there) button?.click();
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const { key } = event, { stage } = this, draws = this.picture === "drawing";
    const target = /** @type {HTMLElement} */ (event.target), letter = key.toLowerCase();
    const inBox = target.matches?.("input[type=text]"), writes = inBox && !draws;
    const digit = /^[1-9]$/.test(key);
    let act = null;
    if (key === "Escape") {
      act = () => stage.dark ? stage.darken(false) : draws ? this.turn() : this.close();
    } else if (key === "Enter" && target.tagName !== "BUTTON") act = () => this.keep();
    else if (TURNS.includes(key) && !draws) act = () => this.drawn() && this.turn();
    else if (key in STEPS && draws) act = () => this.point(STEPS[key]);
    else if (key in STEPS && !writes) {
      act = () =>
        stage.dark ? stage.darken(false) : this.choose((at) => at < 0 ? 0 : at + STEPS[key]);
    } else if (letter === "b" || (key === "." && !inBox)) act = () => stage.darken(!stage.dark);
    else if (letter === "p" && !this.waits) act = () => this.goOn();
    else if (digit && !inBox) act = () => this.choose(() => Number(key) - 1);
    if (!act) return;
    event.preventDefault();
    event.stopPropagation();
    act();
  }
}
