// Gauges: beside the road, what the control does and, per wheel, grip used and brake pressure;
// placed as the wheels are.

import { BOLD, fitted, FONT, INK } from "./legend.js";
import { COLOURS } from "./look.js";

export const SIDE_WIDTH = 240;
export const SIDE_HEIGHT = 178;
export const CELL_WIDTH = 122;
export const CELL_HEIGHT = 58;
const WHEEL_NAMES = ["front left", "front right", "rear left", "rear right"];

// `lit`: is the lamp bright at this moment.
export function paintLamp(pen, scene, now, lit) {
  pen.setLineDash([]);
  pen.lineWidth = 1.5;
  pen.strokeStyle = INK;
  pen.beginPath();
  pen.arc(9, 11, 7, 0, 7);
  pen.fillStyle = lit ? COLOURS[2] : "#ffffff";
  pen.fill();
  pen.stroke();
  pen.font = now.lamp ? BOLD : FONT;
  pen.textAlign = "left";
  pen.textBaseline = "middle";
  pen.fillStyle = INK;
  pen.fillText(now.lamp ? "control working" : "control resting", 22, 11.5);
  paintSlope(pen, scene.slope);
}

// `across`: wheels in a row; `fullBrake`: the pressure of a full bar.
export function paintGauges(pen, scene, now, across, fullBrake) {
  const columns = [2, 0, 3, 1];
  columns.forEach((w, place) =>
    paintCell(
      pen,
      (place % across) * CELL_WIDTH,
      27 + Math.floor(place / across) * CELL_HEIGHT,
      w,
      scene,
      now,
      fullBrake,
    )
  );
}

function paintSlope(pen, slope) {
  const text = Math.abs(slope) < 0.0005
    ? "level"
    : `${slope > 0 ? "up" : "down"} ${Math.round(Math.abs(slope) * 100)} %`;
  pen.font = FONT;
  pen.textAlign = "left";
  pen.fillText(text, 184, 11.5);
  const rise = Math.max(-9, Math.min(9, slope * 45));
  pen.beginPath();
  pen.moveTo(144, 11 + rise);
  pen.lineTo(178, 11 - rise);
  pen.lineTo(178, 20);
  pen.lineTo(144, 20);
  pen.closePath();
  pen.fillStyle = "#dddddd";
  pen.fill();
  pen.stroke();
  pen.fillStyle = INK;
}

function paintCell(pen, x, y, w, scene, now, fullBrake) {
  pen.font = BOLD;
  pen.textAlign = "left";
  pen.fillStyle = INK;
  pen.fillText(WHEEL_NAMES[w], x, y + 8);
  pen.font = FONT;
  if (scene.driven[w]) pen.fillText("driven", x + 74, y + 8);
  const used = now.limit[w] > 0 ? Math.hypot(now.drive[w], now.side[w]) / now.limit[w] : 0;
  paintBar(pen, x, y + 26, "grip", used, `${Math.round(100 * used)} %`, COLOURS[2]);
  paintBar(
    pen,
    x,
    y + 43,
    "brake",
    now.pressure[w] / fullBrake,
    `${Math.round(now.pressure[w])} bar`,
    COLOURS[1],
  );
}

function paintBar(pen, x, y, word, part, text, colour) {
  pen.textAlign = "left";
  pen.fillStyle = INK;
  pen.fillText(word, x, y);
  pen.fillStyle = colour;
  pen.fillRect(x + 37, y - 5, 27 * Math.max(0, Math.min(1, part)), 9);
  pen.strokeStyle = "#666666";
  pen.lineWidth = 1;
  pen.strokeRect(x + 36.5, y - 5.5, 28, 10);
  pen.fillStyle = INK;
  pen.textAlign = "right";
  pen.fillText(text, x + 114, y);
}

// The second car: which run it is, and how far apart it is [m].
export function paintComparison(pen, scene, gap) {
  pen.setLineDash([7, 5]);
  pen.lineWidth = 2;
  pen.strokeStyle = INK;
  pen.beginPath();
  pen.moveTo(0, 153);
  pen.lineTo(24, 153);
  pen.stroke();
  pen.setLineDash([]);
  pen.font = FONT;
  pen.textAlign = "left";
  pen.fillStyle = INK;
  pen.fillText(fitted(pen, scene.label || "second run", SIDE_WIDTH - 34), 32, 153.5);
  pen.fillText(
    Math.abs(gap) < 0.05
      ? "side by side"
      : `${Math.abs(gap).toFixed(1)} m ${gap < 0 ? "behind" : "ahead"}`,
    32,
    169.5,
  );
}
