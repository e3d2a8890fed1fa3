// The keys that move a slider: arrows by one step, page keys by ten, Home and End to its ends.

/** @type {Object<string, number>} */
const JUMPS = {
  ArrowRight: 1,
  ArrowUp: 1,
  ArrowLeft: -1,
  ArrowDown: -1,
  PageUp: 10,
  PageDown: -10,
  Home: -Infinity,
  End: Infinity,
};

/**
 * Call `step(count)` at each of these keys, in place of what the browser does.
 * @param {HTMLInputElement} slider
 * @param {(count: number) => void} step
 */
export function onStepKeys(slider, step) {
  slider.addEventListener("keydown", (event) => {
    if (!(event.key in JUMPS) || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    step(JUMPS[event.key]);
  });
}
