// Charts: one canvas pair per chart, the lower with axes and curves, the upper with cursor, dots and values.

const HEADER = 20;
const TICK_ROW = 18;

function sizeCanvas(canvas, width, height) {
  const ratio = window.devicePixelRatio || 1;
  const w = Math.round(width * ratio), h = Math.round(height * ratio);
  if (canvas.width !== w || canvas.height !== h) {
    canvas.width = w;
    canvas.height = h;
    canvas.style.width = `${width}px`;
    canvas.style.height = `${height}px`;
  }
  const pen = canvas.getContext("2d");
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, width, height);
  return pen;
}

class ChartBox {
  constructor(host, pick, hovering) {
    this.lower = make("canvas", { role: "img" });
    this.upper = make("canvas", { class: "tl-over", "aria-hidden": "true" });
    this.node = make("div", { class: "tl-chart" }, this.lower, this.upper);
    host.append(this.node);
    this.xAxis = new SteadyRange();
    this.yAxis = new SteadyRange();
    this.tickWidth = 30;
    this.markPlaces = new Map();
    this.pick = pick;
    this.hover = null;
    this.upper.addEventListener("pointermove", (event) => {
      const at = this.placeOf(event);
      if (event.buttons === 1 && this.chart.over_time && at !== null) this.pick(at);
      hovering(this, event.buttons === 1 ? null : at);
    });
    this.upper.addEventListener("pointerleave", () => hovering(this, null));
    this.upper.addEventListener("pointerdown", (event) => {
      const at = this.placeOf(event);
      if (!this.chart.over_time || at === null) return;
      this.upper.setPointerCapture(event.pointerId);
      this.pick(at);
    });
  }

  set(chart) {
    this.chart = chart;
    this.lines = chart.lines.filter((line) => line.label);
    this.lower.setAttribute("aria-label", `Chart: ${chart.title}. ${chart.y} over ${chart.x}. Lines: ${this.lines.map((line) => line.label).join(", ") || "none"}.`);
    const xs = chart.lines.map((line) => line.x).concat([chart.marks.map((mark) => mark.x)]);
    const ys = chart.lines.map((line) => line.y).concat([chart.marks.filter((mark) => mark.y !== null).map((mark) => mark.y)]);
    if (chart.x_range) this.xAxis.fix(...chart.x_range);
    else if (chart.over_time) this.xAxis.fix(...extremes(xs));
    else this.xAxis.follow(...extremes(xs));
    const unit = (label) => label.slice(label.indexOf("["));
    const width = (range) => (range ? range[1] - range[0] : NaN);
    this.sameScale = unit(chart.x) === unit(chart.y) && Math.abs(width(chart.x_range) - width(chart.y_range)) < 1e-9;
    if (chart.y_range) this.yAxis.fix(...chart.y_range); else this.yAxis.follow(...extremes(ys));
  }

  // place: {width, height, beside (legend right of the plot), legend (its width), xTicks (show them), left}
  arrange(place) {
    this.place = place;
    const rows = this.lines.length;
    const top = HEADER + (place.beside ? 0 : rows * 17 + 4);
    const right = place.beside ? place.legend + 16 : 14;
    const below = place.xTicks ? (place.beside ? TICK_ROW : 2 * TICK_ROW - 2) : 5;
    this.plot = { left: place.left, top, width: Math.max(40, place.width - place.left - right), height: Math.max(30, place.height - top - below) };
    if (this.sameScale) this.plot.width = this.plot.height = Math.min(this.plot.width, this.plot.height);
    this.legend = place.beside
      ? { left: place.width - place.legend, top: HEADER - 4, width: place.legend, height: place.height - HEADER - (place.xTicks ? TICK_ROW : 0) + 4 }
      : { left: place.left, top: HEADER, width: place.width - place.left - 12, height: rows * 17 };
  }

  toX(x) { return this.plot.left + (x - this.xAxis.low) / (this.xAxis.high - this.xAxis.low) * this.plot.width; }
  toY(y) { return this.plot.top + (this.yAxis.high - y) / (this.yAxis.high - this.yAxis.low) * this.plot.height; }

  placeOf(event) {
    const part = (event.offsetX - this.plot.left) / this.plot.width;
    if (part < -0.02 || part > 1.02) return null;
    return this.xAxis.low + Math.max(0, Math.min(1, part)) * (this.xAxis.high - this.xAxis.low);
  }

  neededLeft(pen) {
    const { ticks, digits } = ticksBetween(this.yAxis.low, this.yAxis.high, 4);
    pen.font = FONT;
    for (const tick of ticks) this.tickWidth = Math.max(this.tickWidth, pen.measureText(inWords(tick, digits)).width);
    return Math.ceil(this.tickWidth) + 10;
  }

  paint() {
    const { plot, chart, place } = this;
    const pen = sizeCanvas(this.lower, place.width, place.height);
    pen.fillStyle = "#ffffff";
    pen.fillRect(0, 0, place.width, place.height);
    pen.textBaseline = "middle";
    pen.textAlign = "left";
    pen.font = BOLD;
    pen.fillStyle = INK;
    pen.fillText(chart.title, 4, 10);
    const after = 4 + pen.measureText(chart.title).width + 10;
    pen.font = FONT;
    pen.fillStyle = QUIET;
    pen.fillText(fitted(pen, chart.y, place.width - after - 8), after, 10);
    this.paintAxes(pen);
    pen.save();
    pen.beginPath();
    pen.rect(plot.left, plot.top - 1, plot.width, plot.height + 2);
    pen.clip();
    pen.lineJoin = "round";
    for (const line of chart.lines) this.paintLine(pen, line);
    pen.restore();
    this.paintMarks(pen);
    paintLegend(pen, this.legend, this.lines);
  }

  paintAxes(pen) {
    const { plot, place } = this;
    const yTicks = ticksBetween(this.yAxis.low, this.yAxis.high, Math.max(2, Math.min(6, plot.height / 16)));
    const xTicks = ticksBetween(this.xAxis.low, this.xAxis.high, Math.max(2, Math.min(12, plot.width / 42)));
    pen.lineWidth = 1;
    pen.strokeStyle = "#dddddd";
    pen.beginPath();
    for (const tick of yTicks.ticks) { const y = Math.round(this.toY(tick)) + 0.5; pen.moveTo(plot.left, y); pen.lineTo(plot.left + plot.width, y); }
    for (const tick of xTicks.ticks) { const x = Math.round(this.toX(tick)) + 0.5; pen.moveTo(x, plot.top); pen.lineTo(x, plot.top + plot.height); }
    pen.stroke();
    pen.strokeStyle = "#666666";
    pen.strokeRect(plot.left + 0.5, Math.round(plot.top) + 0.5, plot.width - 1, plot.height);
    pen.fillStyle = INK;
    pen.textAlign = "right";
    for (const tick of yTicks.ticks) pen.fillText(inWords(tick, yTicks.digits), plot.left - 5, Math.min(Math.max(this.toY(tick), plot.top + 3), plot.top + plot.height - 2));
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
      if (Number.isNaN(y)) { on = false; continue; }
      if (on) pen.lineTo(this.toX(line.x[i]), this.toY(y)); else pen.moveTo(this.toX(line.x[i]), this.toY(y));
      on = true;
    }
    pen.stroke();
    pen.setLineDash([]);
  }

  paintMarks(pen) {
    const { plot } = this;
    const taken = [];
    pen.font = FONT;
    pen.textBaseline = "middle";
    for (const mark of this.chart.marks) {
      const x = this.toX(mark.x), point = mark.y !== null;
      if (x < plot.left - 1 || x > plot.left + plot.width + 1) continue;
      const y = point ? Math.max(plot.top, Math.min(plot.top + plot.height, this.toY(mark.y))) : plot.top + 9;
      pen.strokeStyle = INK;
      pen.fillStyle = INK;
      pen.lineWidth = 1.5;
      pen.beginPath();
      if (point) { pen.arc(x, y, 5, 0, 7); pen.fillStyle = "#ffffff"; pen.fill(); } else {
        pen.setLineDash([1, 3]);
        pen.moveTo(x, plot.top);
        pen.lineTo(x, plot.top + plot.height);
      }
      pen.stroke();
      pen.setLineDash([]);
      const box = this.roomFor(mark, x, y, pen.measureText(mark.label).width + 4, taken);
      taken.push(box);
      pen.fillStyle = "rgba(255,255,255,0.88)";
      pen.fillRect(box.left, box.top, box.width, box.height);
      pen.fillStyle = INK;
      pen.textAlign = "left";
      pen.fillText(mark.label, box.left + 2, box.top + 8.5);
    }
  }

  // A place for a mark's label: clear of other labels, over as little curve as can be; it stays put unless another is much better.
  roomFor(mark, x, y, width, taken) {
    const { plot } = this;
    const tops = mark.y === null ? [plot.top + 1, plot.top + plot.height - 18, plot.top + plot.height / 2 - 8, plot.top + 19] : [y - 8, y - 24, y + 8];
    const places = tops.flatMap((top) => [x + 8, x - 8 - width].map((left) => ({ left, top, width, height: 16 })));
    const costs = places.map((box) => {
      const over = (x, y) => x > box.left && x < box.left + width && y > box.top && y < box.top + 16;
      let cost = box.left < plot.left || box.left + width > plot.left + plot.width || box.top < plot.top || box.top + 16 > plot.top + plot.height ? 1000 : 0;
      for (const other of taken) if (other.left < box.left + width && box.left < other.left + other.width && Math.abs(other.top - box.top) < 16) cost += 500;
      for (const line of this.chart.lines) for (let i = 0; i < line.x.length; i++) if (over(this.toX(line.x[i]), this.toY(line.y[i]))) cost += 300 / line.x.length;
      return cost;
    });
    const best = costs.indexOf(Math.min(...costs)), kept = this.markPlaces.get(mark.label);
    const choice = kept !== undefined && costs[kept] < costs[best] + 15 ? kept : best;
    this.markPlaces.set(mark.label, choice);
    return places[choice];
  }

  // Cursor at `time` (null = none) and reading at `hover`.
  paintOver(time, hover) {
    const { plot, place } = this;
    const pen = sizeCanvas(this.upper, place.width, place.height);
    const cursor = this.chart.over_time ? time : null;
    const at = hover ?? cursor;
    if (at === null) return;
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
  }

  // The values at `time` in words.
  read(time) {
    const digits = digitsFor(this.yAxis.high - this.yAxis.low);
    const said = this.lines.map((line) => [line.label, inWords(valueAt(line, time), digits)]).filter(([, text]) => text);
    return said.length ? `${this.chart.y}: ${said.map(([label, text]) => `${label} ${text}`).join(", ")}` : "";
  }
}

// All charts of a picture: time charts as strips over one time axis, others beside or in a row.
class Charts {
  constructor(host, pick) {
    this.host = host;
    this.pick = pick;
    this.strips = make("div", { class: "tl-strips" });
    this.others = make("div", { class: "tl-others" });
    host.append(this.strips, this.others);
    this.boxes = [];
    this.width = 0;
    this.time = null;
    this.hover = null;
  }

  set(charts, withScene) {
    const key = JSON.stringify(charts.map((chart) => [chart.title, chart.over_time]));
    if (key !== this.key) {
      this.key = key;
      this.strips.replaceChildren();
      this.others.replaceChildren();
      const hovering = (box, at) => { this.hover = at === null ? null : { at, box }; this.paintOver(); };
      this.boxes = charts.map((chart) => new ChartBox(chart.over_time ? this.strips : this.others, this.pick, hovering));
    }
    this.boxes.forEach((box, i) => box.set(charts[i]));
    const timed = this.boxes.filter((box) => box.chart.over_time);
    if (timed.length) {
      const low = Math.min(...timed.map((box) => box.xAxis.low)), high = Math.max(...timed.map((box) => box.xAxis.high));
      for (const box of timed) box.xAxis.fix(low, high);
    }
    this.withScene = withScene;
    this.arrange();
  }

  get span() {
    const timed = this.boxes.find((box) => box.chart.over_time);
    return timed ? [timed.xAxis.low, timed.xAxis.high] : null;
  }

  // Lays the charts out for `this.width` and paints their lower canvases.
  arrange() {
    const width = this.width;
    if (!width || !this.boxes.length) return;
    const timed = this.boxes.filter((box) => box.chart.over_time), rest = this.boxes.filter((box) => !box.chart.over_time);
    const both = timed.length && rest.length && width >= 560;
    const pen = this.boxes[0].lower.getContext("2d");
    const tall = this.withScene ? 250 : 380;
    const stripWidth = both ? Math.floor(width * 0.6) - 6 : width;
    const left = Math.max(0, ...timed.map((box) => box.neededLeft(pen)));
    const legend = Math.min(legendWidth(pen, timed.map((box) => box.chart)), Math.floor(stripWidth * 0.42));
    const beside = stripWidth >= 420;
    const pitch = Math.max(78, Math.floor((tall - TICK_ROW) / Math.max(1, timed.length)));
    let used = 0;
    timed.forEach((box, i) => {
      const last = i === timed.length - 1;
      const height = pitch + (last ? TICK_ROW : 0) + (beside ? 0 : box.lines.length * 17 + 4);
      box.arrange({ width: stripWidth, height, beside, legend, xTicks: last, left });
      used += height;
    });
    const across = both ? 1 : Math.max(1, Math.min(rest.length, Math.floor(width / 280)));
    const otherWidth = both ? width - stripWidth - 12 : Math.floor((width - 12 * (across - 1)) / across);
    const otherHeight = both ? Math.max(150, Math.floor((used - 8 * (rest.length - 1)) / rest.length)) : tall;
    for (const box of rest) {
      const own = legendWidth(pen, [box.chart]);
      box.arrange({ width: otherWidth, height: otherHeight, beside: otherWidth >= 460, legend: Math.min(own, Math.floor(otherWidth * 0.4)), xTicks: true, left: box.neededLeft(pen) });
    }
    this.host.classList.toggle("tl-both", Boolean(both));
    for (const box of this.boxes) box.paint();
  }

  cursor(time) {
    this.time = time;
    this.paintOver();
  }

  paintOver() {
    for (const box of this.boxes) {
      const shared = this.hover && (this.hover.box === box || (this.hover.box.chart.over_time && box.chart.over_time));
      if (box.place) box.paintOver(this.time, shared ? this.hover.at : null);
    }
  }

  read(time) { return this.boxes.filter((box) => box.chart.over_time).map((box) => box.read(time)).filter(Boolean).join(". "); }
}
