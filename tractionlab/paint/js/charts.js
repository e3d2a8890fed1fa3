// Charts: all charts of a picture on one canvas; time charts as strips over one time axis, others
// beside or below.

import { ChartBox, TICK_ROW } from "./chart.js";
import { legendColumns, legendWidth } from "./legend.js";
import { make } from "./make.js";
import { paleLines } from "./pale.js";
import { sizeCanvas, Still } from "./still.js";

const LEGEND_ROW = 14; // px: least height of a row of a legend
export const LEGEND_SHARE = 0.42; // most of the width that a legend beside time charts takes

export class Charts {
  constructor(host, pick) {
    this.canvas = make("canvas", { role: "img" });
    host.append(this.canvas);
    this.still = new Still();
    this.boxes = [];
    this.kept = [];
    this.width = 0;
    this.tall = 380;
    this.legendShare = LEGEND_SHARE;
    this.legendLeast = 0; // px, so that what shares the axis below has room beside it
    this.time = null;
    this.hover = null;
    const timeUnder = (event) => {
      const box = this.boxUnder(event);
      return box?.chart.over_time ? box.valueUnder(event.offsetX) : null;
    };
    const read = (event) => {
      const box = this.boxUnder(event), at = box?.valueUnder(event.offsetX) ?? null;
      this.point(at === null ? null : { box, at });
    };
    this.canvas.addEventListener("pointerdown", (event) => {
      const time = timeUnder(event);
      if (time === null) return read(event);
      this.canvas.setPointerCapture(event.pointerId);
      pick(time);
    });
    this.canvas.addEventListener("pointermove", (event) => {
      const time = event.buttons === 1 ? timeUnder(event) : null;
      if (time !== null) return pick(time);
      read(event);
    });
    // What a finger has read stays, as its hand hid it.
    this.canvas.addEventListener("pointerleave", (event) => {
      if (event.pointerType !== "touch") this.point(null);
    });
  }

  boxUnder(event) {
    return this.boxes.find((box) => box.holds(event.offsetX, event.offsetY));
  }

  point(hover) {
    if (!hover && !this.hover) return;
    this.hover = hover;
    this.paintOver();
  }

  set(charts) {
    const key = JSON.stringify(charts.map((chart) => [chart.title, chart.over_time]));
    if (key !== this.key) {
      this.key = key;
      this.hover = null;
      this.boxes = charts.map(() => new ChartBox());
    }
    this.boxes.forEach((box, i) => box.set(charts[i], paleLines(this.kept, charts[i])));
    const timed = this.boxes.filter((box) => box.chart.over_time);
    if (timed.length) {
      const low = Math.min(...timed.map((box) => box.xAxis.low)),
        high = Math.max(...timed.map((box) => box.xAxis.high));
      for (const box of timed) box.xAxis.fix(low, high);
    }
    const label = `Charts. ${this.boxes.map((box) => box.words).join(". ")}`;
    if (label !== this.canvas.getAttribute("aria-label")) {
      this.canvas.setAttribute("aria-label", label);
    }
    this.canvas.hidden = !charts.length;
    this.arrange();
  }

  /** Axes begin anew with the next charts. */
  forget() {
    this.key = null;
  }

  get span() {
    const timed = this.boxes.find((box) => box.chart.over_time);
    return timed ? [timed.xAxis.low, timed.xAxis.high] : null;
  }

  /** Place of the time charts' plots on the canvas, and their time axis; null without one. */
  get timePlot() {
    const box = this.boxes.find((box) => box.chart.over_time);
    if (!box?.plot) return null;
    const { place, plot, legend, xAxis: { low, high } } = box;
    const names = place.beside ? place.x + legend.left : 0;
    return { left: place.x + plot.left, width: plot.width, names, low, high };
  }

  // Lays the charts out for `this.width`.
  arrange() {
    const { width, tall } = this;
    if (!width || !this.boxes.length) return;
    const timed = this.boxes.filter((box) => box.chart.over_time),
      rest = this.boxes.filter((box) => !box.chart.over_time);
    const both = timed.length > 0 && rest.length > 0 && width >= 560;
    const pen = this.still.canvas.getContext("2d");
    const stripWidth = both ? Math.floor(width * 0.6) - 6 : width;
    const used = this.arrangeStrips(pen, timed, stripWidth, tall);
    this.height = both
      ? Math.max(
        used,
        this.arrangeRest(
          pen,
          rest,
          stripWidth + 12,
          0,
          width - stripWidth - 12,
          Math.max(used, tall),
          1,
        ),
      )
      : this.arrangeRest(
        pen,
        rest,
        0,
        used + (used && rest.length ? 8 : 0),
        width,
        tall,
        Math.max(1, Math.min(rest.length, Math.floor(width / 280))),
      );
    this.still.change();
  }

  // What does not move with the cursor.
  paintStill(pen) {
    pen.fillStyle = "#ffffff";
    pen.fillRect(0, 0, this.width, this.height);
    for (const box of this.boxes) box.paint(pen);
  }

  arrangeStrips(pen, boxes, width, tall) {
    const left = Math.max(0, ...boxes.map((box) => box.neededLeft(pen)));
    const legend = Math.min(
      Math.max(this.legendLeast, legendWidth(pen, boxes.map((box) => box.chart))),
      Math.floor(width * this.legendShare),
    );
    const beside = width >= 420;
    const columns = Math.min(
      ...boxes.map((box) => legendColumns(pen, width - left - 14, box.lines)),
    );
    const above = Math.max(0, ...boxes.map((box) => box.legendHeight({ beside, columns })));
    const below = (beside ? 1 : 2) * TICK_ROW;
    // A legend beside a plot needs its rows.
    const rows = beside ? Math.max(0, ...boxes.map((box) => box.lines.length)) : 0;
    const pitch = Math.max(
      78 + above,
      16 + LEGEND_ROW * rows,
      Math.floor((tall - below) / Math.max(1, boxes.length)),
    );
    let y = 0;
    boxes.forEach((box, i) => {
      const xTicks = i === boxes.length - 1, height = pitch + (xTicks ? below : 0);
      box.arrange({ x: 0, y, width, height, beside, legend, columns, xTicks, left });
      y += height;
    });
    return y;
  }

  // In rows of `across` from (x, y); gives the lower end.
  arrangeRest(pen, boxes, x, y, width, tall, across) {
    const rows = Math.ceil(boxes.length / across),
      share = Math.floor((width - 12 * (across - 1)) / across);
    const height = across === 1 && rows > 1 && x
      ? Math.max(150, Math.floor((tall - 8 * (rows - 1)) / rows))
      : tall;
    boxes.forEach((box, i) => {
      const legend = Math.min(legendWidth(pen, [box.chart]), Math.floor(share * 0.4)),
        left = box.neededLeft(pen);
      const columns = legendColumns(pen, share - left - 14, box.lines);
      box.arrange({
        x: x + (i % across) * (share + 12),
        y: y + Math.floor(i / across) * (height + 8),
        width: share,
        height,
        beside: share >= 460,
        legend,
        columns,
        xTicks: true,
        left,
      });
    });
    return rows ? y + rows * (height + 8) - 8 : y;
  }

  cursor(time) {
    this.time = time;
    this.paintOver();
  }

  paintOver() {
    if (!this.width || !this.boxes.length) return;
    const pen = sizeCanvas(this.canvas, this.width, this.height);
    this.still.show(pen, this.width, this.height, (own) => this.paintStill(own));
    for (const box of this.boxes) {
      const shared = this.hover &&
        (this.hover.box === box || (this.hover.box.chart.over_time && box.chart.over_time));
      box.paintOver(pen, this.time, shared ? this.hover.at : null);
    }
  }

  read(time) {
    return this.boxes.filter((box) => box.chart.over_time).map((box) => box.read(time)).filter(
      Boolean,
    ).join(". ");
  }
}
