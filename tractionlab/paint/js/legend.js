// Legend: per line a sample of colour and dash, its label, and its value at the cursor.

const FONT = "12px system-ui, -apple-system, 'Segoe UI', 'Liberation Sans', Arial, sans-serif";
const BOLD = `bold ${FONT}`;
const INK = "#1a1a1a";
const QUIET = "#555555";

// Shortens `text` with an ellipsis until it fits.
function fitted(pen, text, width) {
  if (pen.measureText(text).width <= width) return text;
  let n = text.length;
  while (n > 1 && pen.measureText(text.slice(0, n) + "\u2026").width > width) n--;
  return text.slice(0, n) + "\u2026";
}

function strokeStyle(pen, style) {
  pen.strokeStyle = COLOURS[style];
  pen.lineWidth = 2;
  pen.setLineDash(DASHES[style]);
}

const LEGEND_SAMPLE = 30;
const LEGEND_VALUE = 50;

function legendWidth(pen, charts) {
  pen.font = FONT;
  let widest = 0;
  for (const chart of charts) for (const line of chart.lines) widest = Math.max(widest, pen.measureText(line.label).width);
  return LEGEND_SAMPLE + 6 + Math.ceil(widest) + LEGEND_VALUE;
}

function legendRow(area, index, count) {
  const pitch = Math.min(19, area.height / Math.max(1, count));
  return area.top + pitch * (index + 0.5);
}

function paintLegend(pen, area, lines) {
  pen.font = FONT;
  pen.textAlign = "left";
  pen.textBaseline = "middle";
  lines.forEach((line, index) => {
    const y = legendRow(area, index, lines.length);
    strokeStyle(pen, line.style);
    pen.beginPath();
    pen.moveTo(area.left, y);
    pen.lineTo(area.left + LEGEND_SAMPLE - 2, y);
    pen.stroke();
    pen.fillStyle = INK;
    pen.fillText(fitted(pen, line.label, area.width - LEGEND_SAMPLE - 6 - LEGEND_VALUE), area.left + LEGEND_SAMPLE + 6, y + 0.5);
  });
  pen.setLineDash([]);
}

function paintLegendValues(pen, area, lines, texts) {
  pen.font = BOLD;
  pen.textAlign = "right";
  pen.textBaseline = "middle";
  pen.fillStyle = INK;
  texts.forEach((text, index) => pen.fillText(text, area.left + area.width, legendRow(area, index, lines.length) + 0.5));
}
