// The key P puts the panel in view on the big screen (paint/js/big_screen.js), wherever the focus
// is; where none is in view, or none is open yet, the bar says so.

const NONE = "No open panel in view. Scroll to one; a shut one opens with the guess above it.";

/**
 * @param {() => import("./place.js").Place | null} shown place in the page in front
 * @param {(words: string) => void} tell
 */
export function hearHallKey(shown, tell) {
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
    /** @type {HTMLElement | null} */
    const button = first && height(first) > 0 ? first.querySelector(".tl-big-screen") : null;
    if (button?.checkVisibility()) button.click();
    else tell(NONE);
  }, true);
}
