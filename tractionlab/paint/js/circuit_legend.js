// Legend of a circuit: how a pipe is drawn at which pressure, and what shows the flow.

import { measured, paintArrows } from "./circuit_shapes.js";
import { FONT, INK } from "./legend.js";
import { COLOURS, PIPE_LOOKS, PIPE_STEPS } from "./look.js";

/** @param {CanvasRenderingContext2D} pen @param {number} style number of the pipe's style */
export function pipePen(pen, style, heavy = 1) {
  pen.lineWidth = heavy * PIPE_LOOKS[style][0];
  pen.setLineDash(PIPE_LOOKS[style][1]);
  pen.strokeStyle = style ? INK : "#555555";
}

/** @param {CanvasRenderingContext2D} pen @param {number} y */
export function paintPipeLegend(pen, y) {
  pen.font = FONT;
  pen.textAlign = "left";
  pen.textBaseline = "middle";
  let x = 4;
  PIPE_STEPS.forEach(([, words], style) => {
    pipePen(pen, style);
    pen.beginPath();
    pen.moveTo(x, y);
    pen.lineTo(x + 24, y);
    pen.stroke();
    pen.fillStyle = INK;
    pen.fillText(words, x + 29, y + 0.5);
    x += 29 + pen.measureText(words).width + 11;
  });
  pen.setLineDash([]);
  pen.beginPath();
  paintArrows(pen, measured([[x, y], [x + 22, y]]), 0.4, true);
  pen.fillStyle = COLOURS[1];
  pen.fill();
  pen.fillStyle = INK;
  pen.fillText("flow", x + 22, y + 0.5);
}
