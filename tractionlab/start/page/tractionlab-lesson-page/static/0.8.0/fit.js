// A panel fits the window, so that its controls, its pictures and the task beside it are seen
// together: it is told what room there is (paint/js/panel_layout.js lowers its charts), and where
// that is not enough it is drawn smaller, but never so small that it cannot be read; for fingers
// never, as they need the size, and a page follows them.

const LEAST = 0.8; // its letters of 14 pixels are 11 then
// px: in a lower window, as an old notebook's at 200 %, none fits, and letters shall be large
const LOW = 420;
const FINGERS = matchMedia("(pointer: coarse)");

/**
 * Keep the panels of a notebook as high as its window, if they can be.
 * @param {any} panel the notebook
 * @param {HTMLElement} scroller what scrolls in it
 */
export function fitPanels(panel, scroller) {
  /** @returns {HTMLElement[]} */
  const panels = () => /** @type {any} */ ([...scroller.querySelectorAll(".tl-panel")]);
  const sizes = new ResizeObserver((seen) => {
    for (const { target } of seen) soon(/** @type {HTMLElement} */ (target));
  });
  // The panel itself goes first: it hears of a new size, too.
  const soon = (node) => requestAnimationFrame(() => fit(node, scroller));
  const look = () => panels().forEach((node) => sizes.observe(node));
  const came = new MutationObserver(look);
  came.observe(scroller, { childList: true, subtree: true });
  const room = new ResizeObserver(() => {
    const { zoom } = getComputedStyle(scroller.querySelector(".jp-WindowedPanel-inner"));
    scroller.style.setProperty("--tl-room", `${scroller.clientHeight / Number(zoom)}px`);
    for (const node of panels()) {
      node.style.zoom = "";
      soon(node);
    }
  });
  room.observe(scroller);
  look();
  panel.disposed.connect(() => {
    came.disconnect();
    sizes.disconnect();
    room.disconnect();
  });
}

/**
 * Smaller only, until the window changes: what grows again as it gets wider would go to and fro.
 * @param {HTMLElement} node a panel @param {HTMLElement} scroller
 */
function fit(node, scroller) {
  if (node.classList.contains("tl-big")) return; // it fills the screen
  if (!node.closest(".tl-page") || FINGERS.matches || scroller.clientHeight < LOW) {
    node.style.zoom = "";
    return;
  }
  const now = Number(node.style.zoom || 1), room = scroller.clientHeight - 4;
  const { height } = node.getBoundingClientRect(), larger = node.currentCSSZoom / now > 1;
  if (larger || height <= room) return;
  node.style.zoom = String(Math.max(LEAST, Math.floor(100 * now * room / height) / 100));
}
