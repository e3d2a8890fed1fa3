// The stage: what fills the screen for a hall, a panel or a guess, in letters that the last row can
// read (pictures.js); dark at a key; afterwards all is where it was.

import { magnification } from "./pictures.js";
import { drawLarger } from "./sharp.js";

const FILLED = "tlFilled"; // the whole document says that it was the course that asked for it

export class Stage {
  /**
   * @param {HTMLElement} root what fills the screen
   * @param {{ key: (event: KeyboardEvent) => void, size: () => void, close: () => void }} own
   *   what to do with a key, with another size of the window, and when the screen is left
   */
  constructor(root, own) {
    this.root = root;
    this.own = own;
    this.on = this.dark = false;
    root.tabIndex = -1;
    this.onSize = () => {
      this.size();
      own.size();
    };
    this.onFull = () => {
      if (FILLED in document.documentElement.dataset && !document.fullscreenElement) own.close();
    };
  }

  /** @param {HTMLElement} home what gets the focus afterwards if nothing had it */
  async open(home) {
    const { root, own } = this, { documentElement: page } = document;
    try {
      if (!document.fullscreenElement) {
        await page.requestFullscreen();
        page.dataset[FILLED] = "";
      }
    } catch {
      // not allowed here: it fills the window
    }
    this.on = true;
    this.back = document.activeElement === document.body ? home : document.activeElement;
    root.popover = "manual";
    root.classList.add("tl-big");
    this.size();
    root.showPopover();
    root.focus();
    addEventListener("keydown", own.key, true);
    addEventListener("resize", this.onSize);
    document.addEventListener("fullscreenchange", this.onFull);
  }

  /** @param {boolean} goesOn true if another stage opens at once */
  close(goesOn = false) {
    const { root, own } = this, { documentElement: page } = document;
    this.on = false;
    this.darken(false);
    removeEventListener("keydown", own.key, true);
    removeEventListener("resize", this.onSize);
    document.removeEventListener("fullscreenchange", this.onFull);
    root.hidePopover();
    root.removeAttribute("popover");
    root.classList.remove("tl-big");
    root.style.removeProperty("--tl-big");
    drawLarger(1);
    if (goesOn) return;
    if (FILLED in page.dataset && document.fullscreenElement) document.exitFullscreen();
    delete page.dataset[FILLED];
    /** @type {any} */ (this.back)?.focus({ preventScroll: true });
  }

  size() {
    const by = magnification(innerWidth);
    this.root.style.setProperty("--tl-big", String(by));
    drawLarger(by);
  }

  /** @param {boolean} dark */
  darken(dark) {
    this.dark = dark;
    this.root.classList.toggle("tl-dark", dark);
  }
}
