// Disc: brake discs as they look in the dark, each with its number, the word for its colour, and a
// scale.

import { between, frameNear } from "./frames.js";
import { BOLD, FONT } from "./legend.js";

const LEAST = 330, NIGHT = "#14161a", PALE = "#e8eaed", OUTLINE = "#a9b0b8";
const SCALE = 128, APART = 15; // px: height of a scale; least distance of two words beside it

// The first discs, as many as fit beside each other; of the others the words tell.
const across = (shown, width) =>
  Math.max(1, Math.min(shown.discs.length, Math.floor(width / LEAST)));

export const DISCS_HEIGHT = 164;

/** @param {any} shown @param {number} time */
export function readDiscs(shown, time) {
  return shown.discs.map((disc) => {
    const word = shown.heats[disc.heat[frameNear(shown.time, time)]];
    const degrees = Math.round(between(shown.time, disc.temperature, time));
    return `${disc.label} ${degrees} degrees, ${word}`;
  }).join(". ");
}

/**
 * Heights of words that want to stand at `wanted`, lowest first, moved up where they would touch.
 * @param {number[]} wanted y of each, falling
 */
export function apart(wanted) {
  const found = [];
  for (const y of wanted) {
    found.push(found.length ? Math.min(y, found[found.length - 1] - APART) : y);
  }
  return found;
}

function paintDisc(pen, colour, x, y) {
  const circle = (r, fill) => {
    pen.beginPath();
    pen.arc(x, y, r, 0, 7);
    pen.fillStyle = fill;
    pen.fill();
    pen.stroke();
  };
  pen.strokeStyle = OUTLINE;
  pen.lineWidth = 1.5;
  circle(64, colour);
  circle(35, "#34373c");
  circle(13, NIGHT);
  for (let k = 0; k < 5; k++) {
    const way = 2 * Math.PI * (k / 5 - 0.25);
    pen.beginPath();
    pen.arc(x + 23 * Math.cos(way), y + 23 * Math.sin(way), 3.5, 0, 7);
    pen.fillStyle = NIGHT;
    pen.fill();
    pen.stroke();
  }
  // The caliper, over the rim of the disc.
  pen.beginPath();
  pen.arc(x, y, 70, -0.45, 0.45);
  pen.arc(x, y, 42, 0.45, -0.45, true);
  pen.closePath();
  pen.fillStyle = "#5b6168";
  pen.fill();
  pen.stroke();
}

function paintScale(pen, shown, degrees, x, y) {
  const toY = (value) => y + SCALE * (1 - Math.min(1, Math.max(0, value / shown.top)));
  pen.strokeStyle = PALE;
  pen.lineWidth = 1;
  pen.strokeRect(x + 0.5, y + 0.5, 14, SCALE);
  pen.fillStyle = PALE;
  pen.fillRect(x + 3, toY(degrees), 9, y + SCALE - toY(degrees));
  pen.font = FONT;
  pen.textAlign = "left";
  const marks = [[0, `0 \u00B0C`], ...shown.marks].sort((a, b) => a[0] - b[0]);
  const places = apart(marks.map(([value]) => toY(value)));
  marks.forEach(([value, words], i) => {
    pen.beginPath();
    pen.moveTo(x + 15, toY(value));
    pen.lineTo(x + 22, toY(value));
    pen.lineTo(x + 28, places[i]);
    pen.stroke();
    pen.fillText(value ? `${Math.round(value)} ${words}` : words, x + 31, places[i]);
  });
}

/** @param {any} shown @param {number} time [s] @param {number} width @param {number} height */
export function paintDiscs(pen, shown, time, width, height) {
  pen.fillStyle = NIGHT;
  pen.fillRect(0, 0, width, height);
  pen.textBaseline = "middle";
  const columns = across(shown, width), share = width / columns, i = frameNear(shown.time, time);
  shown.discs.slice(0, columns).forEach((disc, n) => {
    const left = share * n;
    const degrees = between(shown.time, disc.temperature, time);
    const paint = [...disc.colour.subarray(3 * i, 3 * i + 3)].map(Math.round);
    paintDisc(pen, `rgb(${paint.join(", ")})`, left + 74, 88);
    pen.fillStyle = PALE;
    pen.textAlign = "left";
    pen.font = FONT;
    pen.fillText(disc.label, left + 8, 12);
    pen.font = BOLD;
    const number = `${Math.round(degrees)} \u00B0C: ${shown.heats[disc.heat[i]]}`;
    pen.fillText(number, left + 158, 12);
    paintScale(pen, shown, degrees, left + 158, 28);
  });
}
