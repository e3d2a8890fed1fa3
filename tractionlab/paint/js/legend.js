// Legend: per line a sample of colour and dash, its label, and its value at the cursor.

import { COLOURS, DASHES } from "./look.js";

export const FONT =
  "12px system-ui, -apple-system, 'Segoe UI', 'Liberation Sans', Arial, sans-serif";
export const BOLD = `bold ${FONT}`;
export const INK = "#1a1a1a";
export const QUIET = "#555555";

/** @type {Map<string, number>} */
const known = new Map();

/**
 * Width [px] of words that come with each picture.
 * @param {CanvasRenderingContext2D} pen @param {string} font @param {string} words
 */
export function widthOf(pen, font, words) {
  const key = `${font} ${words}`, width = known.get(key);
  if (width !== undefined) return width;
  pen.font = font;
  known.set(key, pen.measureText(words).width);
  return known.get(key);
}

// Shortens `text` with an ellipsis until it fits.
export function fitted(pen, text, width) {
  if (pen.measureText(text).width <= width) return text;
  let n = text.length;
  while (n > 1 && pen.measureText(text.slice(0, n) + "\u2026").width > width) n--;
  return text.slice(0, n) + "\u2026";
}

export function strokeStyle(pen, style) {
  pen.strokeStyle = COLOURS[style];
  pen.lineWidth = 2;
  pen.setLineDash(DASHES[style]);
}

const LEGEND_SAMPLE = 26;
const LEGEND_VALUE = 50;

export function legendWidth(pen, charts) {
  pen.font = FONT;
  let widest = 0;
  for (const chart of charts) {
    for (const line of chart.lines) widest = Math.max(widest, pen.measureText(line.label).width);
  }
  return LEGEND_SAMPLE + 6 + Math.ceil(widest) + LEGEND_VALUE;
}

// A legend beside a plot has one column; one above it as many as fit.
export function legendColumns(pen, width, lines) {
  return Math.max(
    1,
    Math.min(lines.length, Math.floor((width + 16) / (legendWidth(pen, [{ lines }]) + 16))),
  );
}

function legendCell(area, index, count) {
  const rows = Math.ceil(count / area.columns),
    pitch = Math.min(area.pitch, area.height / Math.max(1, rows));
  const width = (area.width - 16 * (area.columns - 1)) / area.columns;
  return {
    x: area.left + (index % area.columns) * (width + 16),
    y: area.top + pitch * (Math.floor(index / area.columns) + 0.5),
    width,
  };
}

export function paintLegend(pen, area, lines) {
  pen.font = FONT;
  pen.textAlign = "left";
  pen.textBaseline = "middle";
  lines.forEach((line, index) => {
    const { x, y, width } = legendCell(area, index, lines.length);
    strokeStyle(pen, line.style);
    pen.beginPath();
    pen.moveTo(x, y);
    pen.lineTo(x + LEGEND_SAMPLE - 2, y);
    pen.stroke();
    pen.fillStyle = INK;
    pen.fillText(
      fitted(pen, line.label, width - LEGEND_SAMPLE - 6),
      x + LEGEND_SAMPLE + 6,
      y + 0.5,
    );
  });
  pen.setLineDash([]);
}

export function paintLegendValues(pen, area, lines, texts) {
  pen.font = BOLD;
  pen.textAlign = "right";
  pen.textBaseline = "middle";
  texts.forEach((text, index) => {
    if (!text) return;
    const { x, y, width } = legendCell(area, index, lines.length);
    pen.fillStyle = "#ffffff";
    pen.fillRect(x + width - LEGEND_VALUE, y - 7, LEGEND_VALUE, 14);
    pen.fillStyle = INK;
    pen.fillText(text, x + width, y + 0.5);
  });
}
