// Still: the part of a picture that does not move with the cursor.

import { sharpness } from "./sharp.js";

/**
 * A pen on the empty canvas, in pixels of the page.
 * @param {HTMLCanvasElement} canvas @param {number} width @param {number} height
 */
export function sizeCanvas(canvas, width, height) {
  const ratio = sharpness();
  const w = Math.round(width * ratio), h = Math.round(height * ratio);
  if (canvas.width !== w || canvas.height !== h) {
    canvas.width = w;
    canvas.height = h;
    canvas.style.width = `${width}px`;
    canvas.style.height = `${height}px`;
  }
  const pen = canvas.getContext("2d");
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, width, height);
  return pen;
}

/**
 * While a slider moves each picture is shown once, and copying it would take longer than painting
 * it: so it is painted where it is seen. Shown again, as while the clock runs, it is kept and
 * copied.
 */
export class Still {
  constructor() {
    this.canvas = document.createElement("canvas");
    this.shown = 0;
  }

  /** Another picture comes. */
  change() {
    this.shown = 0;
  }

  /**
   * @param {CanvasRenderingContext2D} pen @param {number} width @param {number} height
   * @param {(pen: CanvasRenderingContext2D) => void} paint
   */
  show(pen, width, height, paint) {
    this.shown++;
    if (this.shown === 1) return paint(pen);
    if (this.shown === 2) paint(sizeCanvas(this.canvas, width, height));
    pen.drawImage(this.canvas, 0, 0, width, height);
  }
}
