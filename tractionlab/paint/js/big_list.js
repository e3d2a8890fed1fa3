// What stands beside a drawing on the big screen, where its own words would be too small: a row for
// each part that works, with the letter that marks it in the drawing.

import { CIRCUIT_FONT } from "./circuit_shapes.js";
import { INK } from "./legend.js";

const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
const SIZE = 12; // px of a letter, before the panel is magnified

/**
 * @typedef {{ letter: string, words: string, index: number }} Row
 */

/**
 * The brakes, and of valves and pumps those that get current or run.
 * @param {any} drawing @param {any} circuit
 * @param {number[]} state number of each part's state now
 * @returns {Row[]}
 */
export function circuitRows(drawing, circuit, state) {
  let count = 0;
  return drawing.parts.flatMap((part, index) => {
    const [long, short] = circuit.states[index], brake = part.symbol === "wheel";
    if (!brake && (!part.state_at || part.symbol === "gas_accumulator")) return [];
    const letter = LETTERS[count++], now = short[state[index]];
    if (brake) return [{ letter, index, words: `${part.name}: ${long[state[index]]}` }];
    if (now === "pedal down") return [{ letter, index, words: now }];
    const works = now.includes("\n") || now === "runs";
    return works ? [{ letter, index, words: `${part.name}: ${now.split("\n")[0]}` }] : [];
  });
}

/**
 * What the instrument shows, where its probes are, and what is pulled.
 * @param {any} wiring @param {any[]} figures
 * @returns {Row[]}
 */
export function wiringRows(wiring, figures) {
  const row = (words, letter = "") => ({ letter, words, index: -1 });
  return [
    ...figures.map(({ label, value, unit }) => row(`${label}: ${value} ${unit}`.trim())),
    ...wiring.probes.map(([letter, , words]) => row(words, letter)),
    ...wiring.pulled_words.map((words) => row(`Pulled: ${words}`)),
  ];
}

/**
 * What the letters of phases mean.
 * @param {string} legend as in view/rows.py
 * @returns {Row[]}
 */
export function phaseRows(legend) {
  return legend.split(", ").map((entry) => ({
    letter: entry.split(" ")[0],
    words: entry.slice(entry.indexOf(" ") + 1),
    index: -1,
  }));
}

/**
 * A letter in a ring inside the canvas, as large as those of the list whatever the drawing's scale.
 * @param {CanvasRenderingContext2D} pen
 * @param {string} letter @param {number} x @param {number} y @param {number} scale
 */
export function paintLetter(pen, letter, x, y, scale) {
  const radius = 0.62 * SIZE / scale, { width, height } = pen.canvas, { a } = pen.getTransform();
  x = Math.max(1.1 * radius, Math.min(width / a - 1.1 * radius, x));
  y = Math.max(1.1 * radius, Math.min(height / a - 1.1 * radius, y));
  pen.setLineDash([]);
  pen.beginPath();
  pen.arc(x, y, radius, 0, 7);
  pen.fillStyle = "#ffffff";
  pen.fill();
  pen.strokeStyle = INK;
  pen.lineWidth = 0.7 / scale;
  pen.stroke();
  pen.fillStyle = INK;
  pen.font = `bold ${CIRCUIT_FONT.replace("11.5", String(SIZE / scale))}`;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.fillText(letter, x, y + 0.06 * SIZE / scale);
}
