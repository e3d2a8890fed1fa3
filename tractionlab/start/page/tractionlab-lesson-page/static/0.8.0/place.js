// A lesson opens where the learner left off: the cell at the upper edge is kept, and is brought
// back and held there while what stands above it still grows.

import { keepPlace, placeIn } from "./kept.js";

const START = "00_start.ipynb"; // opens at its top: the next step stands there
const SETTLED = 1500; // ms after the last part has been computed; panels have their height by then
const OWN_HAND = ["wheel", "pointerdown", "keydown", "touchstart"];

export class Place {
  /** @param {any} panel a notebook @param {HTMLElement} scroller what scrolls in it */
  constructor(panel, scroller) {
    this.panel = panel;
    this.scroller = scroller;
    /** @type {any} */
    this.held = null;
    /** @type {any} */
    this.keeping = null;
    scroller.addEventListener("scroll", () => {
      clearTimeout(this.keeping);
      if (!this.held) this.keeping = setTimeout(() => this.keep(), 250);
    });
    for (const kind of OWN_HAND) {
      scroller.addEventListener(kind, () => this.release(), { capture: true, passive: true });
    }
    this.growing = new ResizeObserver(() => this.show());
  }

  /** Go to the place that was kept, and stay there until `settle` or until the learner moves. */
  hold() {
    const { path } = this.panel.context;
    if (path === START) return;
    const { cell, below } = placeIn(path);
    const found = this.panel.content.widgets.find((one) => one.model.id === cell);
    if (!found) return;
    this.held = { node: found.node, below };
    this.growing.observe(this.scroller.firstElementChild);
    this.show();
  }

  settle() {
    setTimeout(() => this.release(), SETTLED);
  }

  release() {
    this.growing.disconnect();
    this.held = null;
  }

  show() {
    if (!this.held) return;
    const { node, below } = this.held, zoom = node.currentCSSZoom ?? 1;
    const away = node.getBoundingClientRect().top - this.scroller.getBoundingClientRect().top;
    this.scroller.scrollTop += away + below * zoom;
  }

  keep() {
    const edge = this.scroller.getBoundingClientRect().top;
    const first = this.panel.content.widgets.find((cell) =>
      cell.node.getBoundingClientRect().bottom > edge + 1
    );
    if (!first || !this.panel.isVisible) return;
    const below = edge - first.node.getBoundingClientRect().top;
    const place = { cell: first.model.id, below: below / (first.node.currentCSSZoom ?? 1) };
    keepPlace(this.panel.context.path, this.scroller.scrollTop < 8 ? {} : place);
  }
}
