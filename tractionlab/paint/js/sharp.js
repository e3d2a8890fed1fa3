// How many pixels of a canvas lie on one of the page, so that it is sharp on every screen, and
// where a whole panel is drawn larger.

let larger = 1;

export const sharpness = () => (globalThis.devicePixelRatio || 1) * larger;

/** @param {number} by from now on all canvases are drawn so many times larger */
export function drawLarger(by) {
  larger = by;
}
