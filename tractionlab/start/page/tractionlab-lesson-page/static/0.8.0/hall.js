// The key P puts the panel or the guess in view on the big screen (paint/js/big_screen.js,
// big_card.js), wherever the focus is: of several the one of which most is seen. Where none is in
// view, or a panel is not open yet, the bar says so.

const NONE = "No open panel in view. Scroll to one; a shut one opens with the guess above it.";
const LEAST = 60; // px of it have to be in view

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
    const typing = "input:not([type=radio]), select, textarea, [contenteditable]";
    if (target.closest(`${typing}, .tl-panel, .tl-big`)) return;
    const { top, bottom } = place.scroller.getBoundingClientRect();
    const height = (node) => {
      const box = node.getBoundingClientRect();
      return Math.min(box.bottom, bottom) - Math.max(box.top, top);
    };
    /** @type {NodeListOf<HTMLButtonElement>} */
    const buttons = place.scroller.querySelectorAll(".tl-big-screen");
    const [first] = [...buttons].filter((button) => button.checkVisibility()).map((button) => ({
      button,
      seen: height(button.closest(".tl-panel, .tl-card")),
    })).sort((one, other) => other.seen - one.seen);
    if (first?.seen > LEAST && !first.button.disabled) first.button.click();
    else tell(NONE);
  }, true);
}
