// Chart: one pair of axes with curves, marks and legend; then, over it, cursor, dots and values.

import {
  BOLD,
  fitted,
  FONT,
  INK,
  paintLegend,
  paintLegendValues,
  QUIET,
  strokeStyle,
} from "./legend.js";
import { COLOURS } from "./look.js";
import { paintLetters, paintPale, readPale } from "./pale.js";
import { paintMarks } from "./marks.js";
import { digitsFor, extremes, inWords, SteadyRange, ticksBetween, valueAt } from "./numbers.js";

const HEADER = 20;
export const TICK_ROW = 18;
const LEAST_WORD = 40; // no shorter piece of a word is painted
const MOMENT = 64; // for the words "at 1.67 s" over the values of a legend

export class ChartBox {
  constructor() {
    this.xAxis = new SteadyRange();
    this.yAxis = new SteadyRange();
    this.tickWidth = 30;
    this.markPlaces = new Map();
  }

  // While runs are kept, drawn as the lines `pale`, the axes hold what they once showed.
  set(chart, pale = []) {
    this.chart = chart;
    this.pale = pale;
    this.lines = chart.lines.filter((line) => line.label);
    const all = [...chart.lines, ...pale], hold = pale.length > 0;
    const xs = all.map((line) => line.x).concat([chart.marks.map((mark) => mark.x)]);
    const ys = all.map((line) => line.y).concat([
      chart.marks.filter((mark) => mark.y !== null).map((mark) => mark.y),
    ]);
    if (chart.x_range) this.xAxis.fix(...chart.x_range);
    else if (chart.over_time && hold) this.xAxis.cover(...extremes(xs));
    else if (chart.over_time) this.xAxis.fix(...extremes(xs));
    else this.xAxis.follow(...extremes(xs));
    const unit = (label) => label.slice(label.indexOf("["));
    const width = (range) => (range ? range[1] - range[0] : NaN);
    this.sameScale = unit(chart.x) === unit(chart.y) &&
      Math.abs(width(chart.x_range) - width(chart.y_range)) < 1e-9;
    if (chart.y_range) this.yAxis.fix(...chart.y_range);
    else this.yAxis.follow(...extremes(ys), hold);
  }

  // place: {x, y, width, height, beside (legend right of the plot), legend (its width then),
  // columns (of a legend above), xTicks (show them), left}
  arrange(place) {
    this.place = place;
    const above = this.legendHeight(place);
    const top = HEADER + above;
    const right = place.beside ? place.legend + 16 : 14;
    const below = place.xTicks ? (place.beside ? TICK_ROW : 2 * TICK_ROW - 2) : 5;
    this.plot = {
      left: place.left,
      top,
      width: Math.max(40, place.width - place.left - right),
      height: Math.max(30, place.height - top - below),
    };
    if (this.sameScale) {
      this.plot.width = this.plot.height = Math.min(this.plot.width, this.plot.height);
    }
    this.legend = place.beside
      ? {
        left: place.width - place.legend,
        top: HEADER - 4,
        width: place.legend,
        height: place.height - HEADER - (place.xTicks ? TICK_ROW : 0) + 4,
        columns: 1,
        pitch: 19,
      }
      : {
        left: place.left,
        top: HEADER,
        width: place.width - place.left - 14,
        height: above - 4,
        columns: place.columns,
        pitch: 17,
      };
  }

  legendHeight({ beside, columns }) {
    return beside || !this.lines.length ? 0 : Math.ceil(this.lines.length / columns) * 17 + 4;
  }

  toX(x) {
    return this.plot.left +
      (x - this.xAxis.low) / (this.xAxis.high - this.xAxis.low) * this.plot.width;
  }
  toY(y) {
    return this.plot.top +
      (this.yAxis.high - y) / (this.yAxis.high - this.yAxis.low) * this.plot.height;
  }

  get words() {
    return `${this.chart.title}: ${this.chart.y} over ${this.chart.x}, lines ${
      this.lines.map((line) => line.label).join(", ") || "none"
    }${this.pale.map(({ letter, label }) => `, kept run ${letter} (${label})`).join("")}`;
  }

  holds(x, y) {
    const { place } = this;
    return x >= place.x && x <= place.x + place.width && y >= place.y &&
      y <= place.y + place.height;
  }

  // The x value under the point `x` of the canvas, or null beside the plot.
  valueUnder(x) {
    const part = (x - this.place.x - this.plot.left) / this.plot.width;
    if (part < -0.02 || part > 1.02) return null;
    return this.xAxis.low + Math.max(0, Math.min(1, part)) * (this.xAxis.high - this.xAxis.low);
  }

  neededLeft(pen) {
    const { ticks, digits } = ticksBetween(this.yAxis.low, this.yAxis.high, 4);
    pen.font = FONT;
    for (const tick of ticks) {
      this.tickWidth = Math.max(this.tickWidth, pen.measureText(inWords(tick, digits)).width);
    }
    return Math.ceil(this.tickWidth) + 10;
  }

  paint(pen) {
    const { plot, chart, place } = this;
    pen.save();
    pen.translate(place.x, place.y);
    pen.textBaseline = "middle";
    pen.textAlign = "left";
    pen.font = BOLD;
    pen.fillStyle = INK;
    pen.fillText(chart.title, 4, 10);
    const after = 4 + pen.measureText(chart.title).width + 10;
    pen.font = FONT;
    pen.fillStyle = QUIET;
    const room = place.width - after - 8 - (chart.over_time ? MOMENT : 0);
    if (room > LEAST_WORD) pen.fillText(fitted(pen, chart.y, room), after, 10);
    this.tellsMoment = room > -8;
    this.paintAxes(pen);
    pen.save();
    pen.beginPath();
    pen.rect(plot.left, plot.top - 1, plot.width, plot.height + 2);
    pen.clip();
    pen.lineJoin = "round";
    paintPale(pen, this);
    for (const line of chart.lines) this.paintLine(pen, line);
    pen.restore();
    paintLetters(pen, this);
    paintMarks(pen, this);
    paintLegend(pen, this.legend, this.lines);
    pen.restore();
  }

  paintAxes(pen) {
    const { plot, place } = this;
    const yTicks = ticksBetween(
      this.yAxis.low,
      this.yAxis.high,
      Math.max(2, Math.min(6, plot.height / 16)),
    );
    const xTicks = ticksBetween(
      this.xAxis.low,
      this.xAxis.high,
      Math.max(2, Math.min(12, plot.width / 42)),
    );
    pen.lineWidth = 1;
    pen.strokeStyle = "#dddddd";
    pen.beginPath();
    for (const tick of yTicks.ticks) {
      const y = Math.round(this.toY(tick)) + 0.5;
      pen.moveTo(plot.left, y);
      pen.lineTo(plot.left + plot.width, y);
    }
    for (const tick of xTicks.ticks) {
      const x = Math.round(this.toX(tick)) + 0.5;
      pen.moveTo(x, plot.top);
      pen.lineTo(x, plot.top + plot.height);
    }
    pen.stroke();
    pen.strokeStyle = "#666666";
    pen.strokeRect(plot.left + 0.5, Math.round(plot.top) + 0.5, plot.width - 1, plot.height);
    pen.fillStyle = INK;
    pen.textAlign = "right";
    for (const tick of yTicks.ticks) {
      pen.fillText(
        inWords(tick, yTicks.digits),
        plot.left - 5,
        Math.min(Math.max(this.toY(tick), plot.top + 3), plot.top + plot.height - 2),
      );
    }
    if (!place.xTicks) return;
    const y = plot.top + plot.height + 11;
    pen.textAlign = "center";
    for (const tick of xTicks.ticks) pen.fillText(inWords(tick, xTicks.digits), this.toX(tick), y);
    pen.fillStyle = QUIET;
    if (place.beside) {
      pen.textAlign = "left";
      pen.fillText(this.chart.x, this.legend.left, y);
    } else pen.fillText(this.chart.x, plot.left + plot.width / 2, y + 15);
  }

  paintLine(pen, line) {
    strokeStyle(pen, line.style);
    pen.beginPath();
    let on = false;
    for (let i = 0; i < line.x.length; i++) {
      const y = line.y[i];
      if (Number.isNaN(y)) {
        on = false;
        continue;
      }
      if (on) pen.lineTo(this.toX(line.x[i]), this.toY(y));
      else pen.moveTo(this.toX(line.x[i]), this.toY(y));
      on = true;
    }
    pen.stroke();
    pen.setLineDash([]);
  }

  // Cursor at `time` (null = none) and reading at `hover`.
  paintOver(pen, time, hover) {
    const { plot, place } = this;
    const cursor = this.chart.over_time ? time : null;
    const at = hover ?? cursor;
    if (at === null) return;
    pen.save();
    pen.translate(place.x, place.y);
    const rule = (x, dash, width) => {
      pen.setLineDash(dash);
      pen.lineWidth = width;
      pen.strokeStyle = INK;
      pen.beginPath();
      pen.moveTo(x, plot.top);
      pen.lineTo(x, plot.top + plot.height);
      pen.stroke();
      pen.setLineDash([]);
    };
    if (cursor !== null) rule(this.toX(cursor), [], 1.5);
    if (hover !== null) rule(this.toX(hover), [3, 3], 1);
    const digits = digitsFor(this.yAxis.high - this.yAxis.low);
    const texts = this.lines.map((line) => {
      const value = valueAt(line, at);
      if (!Number.isFinite(value)) return "";
      const y = this.toY(value);
      if (y >= plot.top - 2 && y <= plot.top + plot.height + 2) {
        pen.fillStyle = COLOURS[line.style];
        pen.beginPath();
        pen.arc(this.toX(at), y, 3.5, 0, 7);
        pen.fill();
      }
      return inWords(value, digits);
    });
    paintLegendValues(pen, this.legend, this.lines, texts);
    if (this.chart.over_time && this.tellsMoment) {
      pen.font = FONT;
      pen.textAlign = "right";
      pen.textBaseline = "middle";
      pen.fillStyle = QUIET;
      pen.fillText(
        `at ${at.toFixed(2)} ${this.chart.x.match(/\[(.*)\]/)[1]}`,
        place.beside ? place.width : place.width - 14,
        10,
      );
    }
    pen.restore();
  }

  // The values at `time` in words.
  read(time) {
    const digits = digitsFor(this.yAxis.high - this.yAxis.low);
    const said = this.lines.map((line) => [line.label, inWords(valueAt(line, time), digits)])
      .filter(([, text]) => text).concat(readPale(this, time, digits));
    return said.length
      ? `${this.chart.y}: ${said.map(([label, text]) => `${label} ${text}`).join(", ")}`
      : "";
  }
}
