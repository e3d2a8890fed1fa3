// Lanes: states over the time as bars on one canvas, solid or in stripes, with the time cursor.

import { BOLD, FONT, INK, QUIET } from "./legend.js";
import { make } from "./make.js";
import { inWords, ticksBetween } from "./numbers.js";
import { sizeCanvas } from "./still.js";

const TOP = 22, LANE = 20, BAR = 14, FOOT = 34, STRIPE = 5;
const DARK = "dark"; // the word beside a lamp that is not lit
const LAMP = 6, LAMPS = 96; // px: radius of a lamp; room for the lamps and their words

export class LanesPicture {
  /** @param {HTMLElement} host */
  constructor(host) {
    this.canvas = make("canvas", { role: "img" });
    host.append(this.canvas);
    this.host = host;
    this.shown = null;
    this.width = 0;
    /** @type {any} timePlot of the charts above, whose axis this shares, or null */
    this.plot = null;
    this.time = null;
    this.blink = true; // whether a flashing lamp is lit in this moment
    this.calm = globalThis.matchMedia("(prefers-reduced-motion: reduce)");
  }

  /** Room that names and states need beside the bars, in px. */
  get namesWidth() {
    if (!this.shown) return 0;
    const pen = this.canvas.getContext("2d"), { lanes, states } = this.shown;
    pen.font = FONT;
    const names = widest(pen, lanes.map((lane) => lane.label));
    pen.font = BOLD;
    return Math.ceil(names + (lanes.some((lane) => lane.lamp) ? 36 + widest(pen, states) : 0));
  }

  /**
   * Begin and width of the bars, and where their names stand: `beside` them like a legend where
   * charts above have one and there is room, else before them, 0.
   */
  place(pen) {
    const { lanes, x_range: [low, high] } = this.shown, { plot, width } = this;
    if (plot?.names && width - plot.names >= this.namesWidth) {
      return {
        left: plot.left,
        wide: plot.width,
        low: plot.low,
        high: plot.high,
        beside: plot.names,
      };
    }
    const left = 12 + widest(pen, lanes.map((lane) => lane.label));
    const right = lanes.some((lane) => lane.lamp) ? LAMPS : 12;
    return { left, wide: width - left - right, low, high, beside: 0 };
  }

  /** What is on at `time`, in words. */
  read(time) {
    if (!this.shown) return "";
    const on = this.shown.lanes.map((lane) => [lane.label, this.stateAt(lane, time)]);
    return on.filter(([, state]) => state).map((words) => words.join(" ")).join(", ");
  }

  /** The state of a lane at `time` in words, or "". */
  stateAt(lane, time) {
    const span = lane.spans.find(([begin, end]) => begin <= time && time < end);
    return span ? this.shown.states[span[2]] : "";
  }

  get height() {
    return this.shown ? TOP + LANE * this.shown.lanes.length + FOOT : 0;
  }

  set(shown) {
    this.shown = shown ?? null;
    this.host.hidden = !shown;
    if (shown) this.canvas.setAttribute("aria-label", `${shown.title}. ${shown.words}`);
    this.paint();
  }

  /** @param {number} time @param {boolean} playing */
  cursor(time, playing = false) {
    this.time = time;
    this.blink = !playing || this.calm.matches || Math.floor(performance.now() / 200) % 2 === 0;
    this.paint();
  }

  paint() {
    if (!this.shown || !this.width) return;
    const { lanes, title, states, x, x_range: [low, high] } = this.shown, { width, height } = this;
    const pen = sizeCanvas(this.canvas, width, height);
    pen.textBaseline = "middle";
    pen.font = FONT;
    const place = this.place(pen), foot = TOP + LANE * lanes.length;
    const toX = (time) => place.left + place.wide * (time - place.low) / (place.high - place.low);
    this.paintHead(pen, title, states);
    lanes.forEach((lane, row) => this.paintLane(pen, lane, TOP + LANE * (row + 0.5), place, toX));
    this.paintAxis(pen, x, low, high, foot, toX);
    if (this.time === null) return;
    this.paintCursor(pen, toX(this.time), foot);
    lanes.forEach((lane, row) =>
      lane.lamp && this.paintLamp(pen, lane, TOP + LANE * (row + 0.5), place)
    );
  }

  // A lamp as it is at the cursor: dark, lit with rays, or flashing, and the word beside it.
  paintLamp(pen, lane, y, { beside }) {
    const x = beside ? beside + 8 : this.width - LAMPS + 22, state = this.stateAt(lane, this.time);
    const flashing = state === this.shown.states[1], lit = state && (!flashing || this.blink);
    pen.beginPath();
    pen.arc(x, y, LAMP, 0, 7);
    pen.fillStyle = lit ? lane.lamp : "#ffffff";
    pen.fill();
    pen.strokeStyle = INK;
    pen.lineWidth = 1.2;
    if (lit) {
      for (let k = 0; k < 8; k++) {
        const way = k * Math.PI / 4;
        pen.moveTo(x + (LAMP + 1.5) * Math.cos(way), y + (LAMP + 1.5) * Math.sin(way));
        pen.lineTo(x + (LAMP + 3.5) * Math.cos(way), y + (LAMP + 3.5) * Math.sin(way));
      }
    }
    pen.stroke();
    pen.font = state ? BOLD : FONT;
    pen.textAlign = beside ? "right" : "left";
    pen.fillStyle = INK;
    pen.fillText(state || DARK, beside ? this.width : x + 14, y);
  }

  // Dark in a white seam, so that it is seen over a bar, too.
  paintCursor(pen, x, foot) {
    for (const { colour, wide } of [{ colour: "#ffffff", wide: 5 }, { colour: INK, wide: 1.5 }]) {
      pen.strokeStyle = colour;
      pen.lineWidth = wide;
      pen.beginPath();
      pen.moveTo(x, TOP);
      pen.lineTo(x, foot);
      pen.stroke();
    }
  }

  paintHead(pen, title, states) {
    pen.textAlign = "left";
    pen.font = BOLD;
    pen.fillStyle = INK;
    pen.fillText(title, 4, 10);
    const after = 14 + pen.measureText(title).width;
    pen.font = FONT;
    pen.fillStyle = QUIET;
    pen.fillText(`solid = ${states[0]}, stripes = ${states[1]}`, after, 10);
  }

  paintLane(pen, lane, y, { left, wide: whole, beside }, toX) {
    pen.fillStyle = INK;
    pen.textAlign = beside ? "left" : "right";
    pen.fillText(lane.label, beside ? beside + (lane.lamp ? 22 : 0) : left - 8, y);
    pen.strokeStyle = "#888888";
    pen.lineWidth = 1;
    pen.beginPath();
    pen.moveTo(left, y);
    pen.lineTo(left + whole, y);
    pen.stroke();
    for (const [begin, end, state] of lane.spans) {
      const from = toX(begin), wide = Math.max(2, toX(end) - from);
      if (state === 0) pen.fillRect(from, y - BAR / 2, wide, BAR);
      else {
        for (let at = 0; at < wide; at += STRIPE) {
          pen.fillRect(from + at, y - BAR / 2, Math.min(2, wide - at), BAR);
        }
      }
    }
  }

  paintAxis(pen, words, low, high, y, toX) {
    const { ticks, digits } = ticksBetween(low, high, 6);
    pen.fillStyle = INK;
    pen.textAlign = "center";
    for (const tick of ticks) pen.fillText(inWords(tick, digits), toX(tick), y + 9);
    pen.fillText(words, (toX(low) + toX(high)) / 2, y + 25);
  }
}

/** @param {CanvasRenderingContext2D} pen @param {string[]} words */
function widest(pen, words) {
  return Math.max(...words.map((one) => pen.measureText(one).width));
}
