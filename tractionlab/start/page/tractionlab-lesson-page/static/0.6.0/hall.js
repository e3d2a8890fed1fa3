// The key P puts the panel in view on the big screen (paint/js/big_screen.js), wherever the focus
// is.

/**
 * @param {() => import("./place.js").Place | null} shown place in the page in front
 */
export function hearHallKey(shown) {
  window.addEventListener("keydown", (event) => {
    const target = /** @type {HTMLElement} */ (event.target), place = shown();
    if (!place || event.key.toLowerCase() !== "p") return;
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    // A panel that has the focus hears its own key.
    if (target.closest("input, select, textarea, [contenteditable], .tl-panel")) return;
    const { top, bottom } = place.scroller.getBoundingClientRect();
    const height = (node) => {
      const box = node.getBoundingClientRect();
      return Math.min(box.bottom, bottom) - Math.max(box.top, top);
    };
    /** @type {NodeListOf<HTMLElement>} */
    const panels = place.scroller.querySelectorAll(".tl-panel");
    const [first] = [...panels].sort((one, other) => height(other) - height(one));
    if (!first || height(first) <= 0) return;
    /** @type {HTMLElement} */ (first.querySelector(".tl-big-screen")).click();
  }, true);
}
