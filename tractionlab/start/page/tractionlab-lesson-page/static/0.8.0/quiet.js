// On a page no key and no double click changes the notebook. What a lesson shows (sliders, cards,
// links) has all its keys; JupyterLab's notebook around it, its shortcuts and its menus hear none.
// Where a computation has died, or the whole course was stopped, the page's own line says so, not
// JupyterLab's window.

const UNHEARD = ["keydown", "mousedown", "dblclick", "contextmenu", "focusin", "focusout"];

/**
 * Keep what happens in a lesson from the notebook that holds it.
 * @param {HTMLElement} scroller the notebook's content, inside the node where JupyterLab listens
 * @param {() => boolean} asPage
 */
export function quieten(scroller, asPage) {
  for (const kind of UNHEARD) {
    scroller.addEventListener(kind, (event) => {
      if (asPage()) event.stopPropagation();
    });
  }
}

/**
 * Keep JupyterLab's shortcuts from keys that are pressed outside a lesson's own parts, and let the
 * keys that scroll do so wherever the focus is.
 * @param {HTMLElement} bar
 * @param {() => import("./place.js").Place | null} shown place in the page in front
 */
export function quietenAround(bar, shown) {
  window.addEventListener("keydown", (event) => {
    const target = /** @type {HTMLElement} */ (event.target), place = shown();
    const around = Boolean(place) && target !== place.scroller && target.contains(place.scroller);
    if (!place || !(around || bar.contains(target))) return;
    if (around) event.stopPropagation();
    if ((event.ctrlKey || event.metaKey) && event.key === "s") event.preventDefault();
    const { scroller } = place, step = 0.9 * scroller.clientHeight;
    const goes = {
      PageDown: scroller.scrollTop + step,
      PageUp: scroller.scrollTop - step,
      Home: 0,
      End: scroller.scrollHeight,
    };
    if (!(event.key in goes) || event.altKey || target.closest("[popover]")) return;
    event.preventDefault();
    place.release();
    scroller.scrollTop = goes[event.key];
  }, true);
  bar.addEventListener("keydown", (event) => event.stopPropagation());
}

/**
 * A notebook whose kernel died opens a window over everything, though another kernel is on its way:
 * on a page it is closed before it shows.
 * @param {any} sessionContext of a notebook that listens to it already
 * @param {any} Dialog JupyterLab's class
 * @param {() => boolean} asPage
 */
export function quietenDeath(sessionContext, Dialog, asPage) {
  sessionContext.statusChanged.connect((_, status) => {
    if (status !== "autorestarting" || !asPage()) return;
    Dialog.tracker.forEach((dialog) => {
      if (!dialog.isAttached) dialog.reject();
    });
  });
}

/**
 * How JupyterLab's windows about a lost server begin, with a hub behind it and without, and the one
 * that may follow them: the page says by itself that its computation has stopped.
 */
const LOST = ["Server Connection Error", "Server unavailable"], DEAD = "Error Starting Kernel";
const DRAWN_MS = 50;

/**
 * The server does not answer any more: on a page its own line says so, in place of a window.
 * @param {any} Dialog JupyterLab's class
 * @param {() => boolean} asPage
 * @param {() => void} tell
 */
export function quietenLoss(Dialog, asPage, tell) {
  Dialog.tracker.widgetAdded.connect(async (_, dialog) => {
    await null; // until it is complete
    // Some have their title only when they are drawn.
    if (!dialog.node.ariaLabel) await new Promise((drawn) => setTimeout(drawn, DRAWN_MS));
    const title = dialog.node.ariaLabel ?? dialog.node.textContent;
    const lost = LOST.some((words) => title.startsWith(words));
    if (!asPage() || !(lost || title.startsWith(DEAD))) return;
    dialog.reject();
    if (lost) tell();
  });
}
