// Ring: a toothed or magnetised ring turning past its sensor, whole and near the sensor, the gap
// and all else there to one scale.

import { between, frameNear } from "./frames.js";
import { BOLD, FONT, INK, QUIET } from "./legend.js";

export const RING_HEIGHT = 172;
const STEEL = "#d5dade", DARK = "#525c66", COPPER = "#b0662b";
const WHOLE = 150, WORDS = 164, FACE = 62, PER_MM = 9;

/** Words for the kind of edge: what passes the sensor. @param {any} ring */
const edge = (ring) => (ring.poles.length ? "pole pair" : "tooth");

/** @param {any} ring @param {number} time */
export function readRing(ring, time) {
  const i = frameNear(ring.time, time);
  return `Nearest to the sensor is ${edge(ring)} ${ring.tooth[i] + 1} of ${ring.teeth}, gap ${
    ring.gap[i].toFixed(1)
  } millimetres`;
}

/**
 * Path of the ring's edge around (x, y): the place on the ring that is at the sensor stands on top;
 * what comes next comes from the left.
 */
function edgePath(pen, ring, angle, x, y, scale) {
  pen.beginPath();
  const { outline } = ring;
  for (let i = 0; i < outline.length; i += 2) {
    const way = outline[i] - angle, r = outline[i + 1] * scale;
    pen.lineTo(x - r * Math.sin(way), y - r * Math.cos(way));
  }
  pen.closePath();
}

function paintPoles(pen, ring, angle, x, y, scale, letters) {
  const outer = ring.outline[1] * scale, inner = outer - 3.2 * scale;
  for (const [from, to, letter] of ring.poles) {
    const begin = -Math.PI / 2 - (to - angle), end = -Math.PI / 2 - (from - angle);
    pen.beginPath();
    pen.arc(x, y, outer, begin, end);
    pen.arc(x, y, inner, end, begin, true);
    pen.closePath();
    pen.fillStyle = letter === "N" ? DARK : "#ffffff";
    pen.fill();
    pen.stroke();
    if (!letters) continue;
    const middle = (begin + end) / 2, r = (outer + inner) / 2;
    pen.fillStyle = letter === "N" ? "#ffffff" : INK;
    pen.fillText(letter, x + r * Math.cos(middle), y + r * Math.sin(middle));
  }
}

function paintSensor(pen, ring, x, y) {
  pen.fillStyle = "#eef1f4";
  pen.strokeStyle = INK;
  pen.lineWidth = 1.5;
  pen.fillRect(x - 30, y - FACE - 10, 60, FACE + 10);
  pen.strokeRect(x - 30, y - FACE - 10, 60, FACE + 10);
  pen.fillStyle = DARK;
  if (ring.active) {
    // Electronics that feel the field, close to the face.
    pen.fillRect(x - 9, y - 14, 18, 10);
    pen.beginPath();
    for (const side of [-5, 5]) {
      pen.moveTo(x + side, y - 14);
      pen.lineTo(x + side, y - 46);
    }
    pen.stroke();
    return;
  }
  // A magnet, its pin down to the face, and a coil round the pin.
  pen.fillRect(x - 13, y - FACE + 2, 26, 18);
  pen.fillRect(x - 4, y - FACE + 18, 8, FACE - 19);
  pen.strokeStyle = COPPER;
  pen.lineWidth = 2.5;
  pen.beginPath();
  for (let i = 0; i < 6; i++) {
    pen.moveTo(x - 17, y - 36 + 5.4 * i);
    pen.lineTo(x + 17, y - 33.5 + 5.4 * i);
  }
  pen.stroke();
}

function paintWhole(pen, ring, angle, height) {
  const scale = 62 / ring.face, x = WHOLE / 2 - 4, y = height - 76;
  pen.fillStyle = STEEL;
  edgePath(pen, ring, angle, x, y, scale);
  pen.fill();
  pen.stroke();
  pen.lineWidth = 0.5;
  paintPoles(pen, ring, angle, x, y, scale, false);
  pen.lineWidth = 1;
  pen.fillStyle = "#ffffff";
  pen.beginPath();
  pen.arc(x, y, 26, 0, 7);
  pen.fill();
  pen.stroke();
  // A dot on the ring under tooth 1: it comes round once a turn.
  pen.fillStyle = INK;
  pen.beginPath();
  pen.arc(x - 36 * Math.sin(-angle), y - 36 * Math.cos(-angle), 4, 0, 7);
  pen.fill();
  pen.fillStyle = "#eef1f4";
  pen.fillRect(x - 6, 2, 12, y - 64);
  pen.strokeRect(x - 6, 2, 12, y - 64);
  pen.setLineDash([3, 3]);
  pen.strokeRect(x - 24, 1, 48, 44);
  pen.setLineDash([]);
}

function paintNear(pen, ring, angle, gap, left, right, height) {
  const x = (left + right) / 2, y = FACE + ring.face * PER_MM;
  pen.save();
  pen.beginPath();
  pen.rect(left, 0, right - left, height);
  pen.clip();
  pen.fillStyle = "#ffffff";
  pen.fillRect(left, 0, right - left, height);
  pen.fillStyle = STEEL;
  pen.lineWidth = 1.5;
  edgePath(pen, ring, angle, x, y, PER_MM);
  pen.fill();
  pen.stroke();
  pen.textAlign = "center";
  paintPoles(pen, ring, angle, x, y, PER_MM, true);
  paintSensor(pen, ring, x, FACE);
  // The gap, between two lines that lead out to the right.
  const near = FACE + gap * PER_MM;
  pen.strokeStyle = INK;
  pen.lineWidth = 1;
  pen.beginPath();
  for (const line of [FACE, near]) {
    pen.moveTo(x + 8, line + 0.5);
    pen.lineTo(x + 70, line + 0.5);
  }
  for (const [from, to] of [[FACE - 14, FACE], [near + 14, near]]) {
    pen.moveTo(x + 62, from);
    pen.lineTo(x + 62, to);
    pen.moveTo(x + 59, to + (from - to) / 3);
    pen.lineTo(x + 62, to);
    pen.lineTo(x + 65, to + (from - to) / 3);
  }
  pen.stroke();
  pen.font = BOLD;
  pen.textAlign = "left";
  const words = `gap ${gap.toFixed(1)} mm`;
  pen.fillStyle = "rgba(255,255,255,0.9)";
  pen.fillRect(x + 72, (FACE + near) / 2 - 9, pen.measureText(words).width + 6, 18);
  pen.fillStyle = INK;
  pen.fillText(words, x + 75, (FACE + near) / 2 + 1);
  // Which way the ring turns, and the scale.
  pen.font = FONT;
  pen.fillText("turns \u25B6", left + 8, 48);
  pen.fillRect(left + 8, 14, 10 * PER_MM, 3);
  pen.fillText("10 mm", left + 8, 28);
  pen.restore();
  pen.lineWidth = 1;
  pen.setLineDash([3, 3]);
  pen.strokeRect(left + 0.5, 0.5, right - left - 1, height - 1);
  pen.setLineDash([]);
}

/** @param {any} ring @param {number} time [ms] @param {number} width @param {number} height */
export function paintRing(pen, ring, time, width, height) {
  const i = frameNear(ring.time, time), gap = ring.gap[i];
  const angle = between(ring.time, ring.angle, time);
  const left = width >= 480 ? WHOLE : 0, words = width >= 640;
  pen.textBaseline = "middle";
  pen.strokeStyle = INK;
  pen.lineWidth = 1;
  if (left) paintWhole(pen, ring, angle, height);
  pen.font = BOLD;
  paintNear(pen, ring, angle, gap, left, words ? width - WORDS : width, height);
  if (!words) return;
  const rows = [
    [BOLD, INK, ring.active ? "Active sensor" : "Passive sensor"],
    [FONT, INK, ring.active ? "electronics feel the field" : "coil round a magnet"],
    [BOLD, INK, `${edge(ring)} ${ring.tooth[i] + 1} of ${ring.teeth}`],
    [FONT, INK, "is nearest to the sensor"],
    [FONT, QUIET, `${Math.round(1000 / ring.rate)} times slower`],
    [FONT, QUIET, "than in truth"],
  ];
  pen.textAlign = "left";
  rows.forEach(([font, ink, text], row) => {
    pen.font = font;
    pen.fillStyle = ink;
    pen.fillText(text, width - WORDS + 12, 14 + 17 * row + 12 * (row >> 1));
  });
}
