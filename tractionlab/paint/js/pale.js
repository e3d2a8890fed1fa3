// Pale lines of kept runs: under the other lines of a chart, each with a dash and the letter of its
// run.

import { BOLD, QUIET } from "./legend.js";
import { DASHES, PALE } from "./look.js";
import { inWords, rises, valueAt } from "./numbers.js";

/**
 * The pale lines of a chart, from the kept runs.
 * @param {Object<string, any>[]} kept @param {Object<string, any>} chart
 */
export function paleLines(kept, chart) {
  if (!chart.over_time) return [];
  return kept.flatMap(({ letter, lines }) => {
    const line = lines[chart.title];
    if (!line) return [];
    const [x, y] = [line.x, line.y].map((list) => list.map((value) => value ?? NaN));
    return [{ letter, label: line.label, style: "ABCD".indexOf(letter), x, y, rising: rises(x) }];
  });
}

/** @param {CanvasRenderingContext2D} pen @param {import("./chart.js").ChartBox} box */
export function paintPale(pen, box) {
  pen.strokeStyle = PALE;
  pen.lineWidth = 1.5;
  for (const { style, x, y } of box.pale) {
    pen.setLineDash(DASHES[style]);
    pen.beginPath();
    let on = false;
    for (let i = 0; i < x.length; i++) {
      if (Number.isNaN(y[i])) on = false;
      else {
        if (on) pen.lineTo(box.toX(x[i]), box.toY(y[i]));
        else pen.moveTo(box.toX(x[i]), box.toY(y[i]));
        on = true;
      }
    }
    pen.stroke();
  }
  pen.setLineDash([]);
}

/** @param {CanvasRenderingContext2D} pen @param {import("./chart.js").ChartBox} box */
export function paintLetters(pen, box) {
  pen.font = BOLD;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  box.pale.forEach((line, i) => paintLetter(pen, box, line, i));
}

// The letter stands on its line, those of several runs apart from each other.
function paintLetter(pen, box, line, i) {
  const { x } = line, at = x[0] + (0.92 - 0.07 * i) * (x[x.length - 1] - x[0]);
  const height = valueAt(line, at), { plot } = box;
  if (!Number.isFinite(height)) return;
  const left = box.toX(at);
  const top = Math.max(plot.top + 7, Math.min(plot.top + plot.height - 7, box.toY(height)));
  pen.fillStyle = "#ffffff";
  pen.fillRect(left - 6, top - 7, 12, 14);
  pen.fillStyle = QUIET;
  pen.fillText(line.letter, left, top + 0.5);
}

/**
 * [name, value] of each kept run at a time, for the ear.
 * @param {import("./chart.js").ChartBox} box @param {number} time @param {number} digits
 */
export const readPale = (box, time, digits) =>
  box.pale.map((line) => [
    `${line.label} in run ${line.letter}`,
    inWords(valueAt(line, time), digits),
  ]).filter(([, text]) => text);
