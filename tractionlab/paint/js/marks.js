// Marks of a chart: points and upright lines, each with its label where it hides least.

import { FONT, INK } from "./legend.js";

/** @param {CanvasRenderingContext2D} pen @param {import("./chart.js").ChartBox} axes */
export function paintMarks(pen, axes) {
  const { plot } = axes;
  const taken = [];
  pen.font = FONT;
  pen.textBaseline = "middle";
  for (const mark of axes.chart.marks) {
    const x = axes.toX(mark.x), point = mark.y !== null;
    if (x < plot.left - 1 || x > plot.left + plot.width + 1) continue;
    const y = point
      ? Math.max(plot.top, Math.min(plot.top + plot.height, axes.toY(mark.y)))
      : plot.top + 9;
    pen.strokeStyle = INK;
    pen.fillStyle = INK;
    pen.lineWidth = 1.5;
    pen.beginPath();
    if (point) {
      pen.arc(x, y, 5, 0, 7);
      pen.fillStyle = "#ffffff";
      pen.fill();
    } else {
      pen.setLineDash([1, 3]);
      pen.moveTo(x, plot.top);
      pen.lineTo(x, plot.top + plot.height);
    }
    pen.stroke();
    pen.setLineDash([]);
    const box = roomFor(axes, mark, x, y, pen.measureText(mark.label).width + 4, taken);
    taken.push(box);
    pen.fillStyle = "rgba(255,255,255,0.88)";
    pen.fillRect(box.left, box.top, box.width, box.height);
    pen.fillStyle = INK;
    pen.textAlign = "left";
    pen.fillText(mark.label, box.left + 2, box.top + 8.5);
  }
}

// A place for a mark's label: clear of other labels, over as little curve as can be; it stays put
// unless another is much better.
function roomFor(axes, mark, x, y, width, taken) {
  const { plot } = axes;
  const tops = mark.y === null
    ? [plot.top + 1, plot.top + plot.height - 18, plot.top + plot.height / 2 - 8, plot.top + 19]
    : [y - 8, y - 24, y + 8];
  const places = tops.flatMap((top) =>
    [x + 8, x - 8 - width].map((left) => ({ left, top, width, height: 16 }))
  );
  const costs = places.map((box) => {
    const over = (x, y) => x > box.left && x < box.left + width && y > box.top && y < box.top + 16;
    let cost =
      box.left < plot.left || box.left + width > plot.left + plot.width || box.top < plot.top ||
        box.top + 16 > plot.top + plot.height
        ? 1000
        : 0;
    for (const other of taken) {
      if (
        other.left < box.left + width && box.left < other.left + other.width &&
        Math.abs(other.top - box.top) < 16
      ) cost += 500;
    }
    for (const line of axes.chart.lines) {
      for (
        let i = 0;
        i < line.x.length;
        i++
      ) if (over(axes.toX(line.x[i]), axes.toY(line.y[i]))) cost += 300 / line.x.length;
    }
    return cost;
  });
  const best = costs.indexOf(Math.min(...costs)), kept = axes.markPlaces.get(mark.label);
  const choice = kept !== undefined && costs[kept] < costs[best] + 15 ? kept : best;
  axes.markPlaces.set(mark.label, choice);
  return places[choice];
}
