// Phases: what the control unit does over the time, a lane for each wheel and for the torque, under
// the plots of the time charts. Letter, pattern and colour mark a phase; no colour stands alone.

import { BOLD, FONT, INK, QUIET, widthOf } from "./legend.js";
import { COLOURS } from "./look.js";
import { make } from "./make.js";
import { sizeCanvas, Still } from "./still.js";

const HEAD = 20, ROW = 15, LANE = 15, BAR = 13, PITCH = 5;
// A letter needs so much room in its bar.
const LETTER = 13;

// A bar too narrow for its pattern is a block at this height of the lane: [from, to].
const NARROW = 6;
const BLOCK = { rising: [0, 0.5], level: [0.3, 0.7], falling: [0.5, 1], dots: [0.4, 0.6] };

/** Colour of a pattern, by the number of its line style. */
const STYLE = { level: 0, rising: 1, falling: 2, dots: 3 };

/**
 * Lines of a pattern in a bar: [x from, y from, x to, y to], with the bar's left upper corner at 0.
 * @param {string} pattern @param {number} wide @param {number} tall
 * @returns {number[][]}
 */
export function hatch(pattern, wide, tall) {
  const lines = [];
  if (pattern === "level") {
    for (const share of [0.3, 0.7]) lines.push([0, share * tall, wide, share * tall]);
  } else if (pattern === "dots") {
    for (let x = 2; x < wide; x += PITCH) {
      for (const share of [0.3, 0.7]) lines.push([x, share * tall, x + 1.5, share * tall]);
    }
  } else {
    const [from, to] = pattern === "rising" ? [tall, 0] : [0, tall];
    for (let x = -tall; x < wide; x += PITCH) lines.push([x, from, x + tall, to]);
  }
  return lines;
}

/**
 * The entries of a legend in rows: the first has `first` of the width, the others have `wide`.
 * @param {string} legend @param {(words: string) => number} measure
 * @param {number} first @param {number} wide
 */
export function legendRows(legend, measure, first, wide) {
  const rows = [""];
  for (const entry of legend.split(", ")) {
    const last = rows.length - 1, longer = rows[last] ? `${rows[last]}, ${entry}` : entry;
    if (measure(longer) <= (last ? wide : first)) rows[last] = longer;
    else rows.push(entry);
  }
  return rows;
}

export class PhasesPicture {
  /** @param {HTMLElement} host @param {(time: number) => void} pick */
  constructor(host, pick) {
    this.canvas = make("canvas", { role: "img" });
    this.still = new Still();
    host.append(this.canvas);
    this.host = host;
    this.shown = null;
    this.rows = [""];
    this.plot = null;
    this.time = null;
    this.bare = false; // on the big screen: the legend stands beside the strip
    const under = (event) => {
      if (!this.shown || !this.plot) return;
      const { left, width, low, high } = this.plot;
      const part = Math.max(0, Math.min(1, (event.offsetX - left) / width));
      pick(low + part * (high - low));
    };
    this.canvas.addEventListener("pointerdown", (event) => {
      this.canvas.setPointerCapture(event.pointerId);
      under(event);
    });
    this.canvas.addEventListener("pointermove", (event) => {
      if (event.buttons === 1) under(event);
    });
  }

  // The legend begins beside the title, and goes on in lines of its own where it is longer.
  get top() {
    return HEAD + ROW * (this.rows.length - 1);
  }

  get height() {
    return this.shown ? this.top + LANE * this.shown.lanes.length + 4 : 0;
  }

  set(shown) {
    this.shown = shown ?? null;
    this.host.hidden = !shown;
    if (!shown) return;
    const { title, words, legend } = shown;
    const label = `${title}. ${words}.${legend ? ` Letters: ${legend}.` : ""}`;
    if (label !== this.canvas.getAttribute("aria-label")) {
      this.canvas.setAttribute("aria-label", label);
    }
  }

  /**
   * Lay the strip out under the plots of the time charts; the cursor comes next, and paints it.
   * @param {number} width of the canvas
   * @param {{left: number, width: number, names: number, low: number, high: number} | null} plot
   *   place of the plots, `names` = left end of the room for names beside them, or 0
   */
  arrange(width, plot) {
    this.plot = plot;
    this.width = width;
    if (!this.shown || !plot || !width) return;
    const { title, legend } = this.shown, ruler = this.still.canvas.getContext("2d");
    this.after = 14 + widthOf(ruler, BOLD, title);
    this.rows = this.bare ? [""] : legendRows(
      legend,
      (words) => widthOf(ruler, FONT, words),
      width - this.after - 4,
      width - 8,
    );
    this.still.change();
  }

  // What does not move with the cursor.
  paintStill(pen) {
    const { lanes, title } = this.shown;
    pen.textBaseline = "middle";
    pen.textAlign = "left";
    pen.font = BOLD;
    pen.fillStyle = INK;
    pen.fillText(title, 4, 9);
    pen.font = FONT;
    pen.fillStyle = QUIET;
    this.rows.forEach((row, n) => pen.fillText(row, n ? 4 : this.after, 9 + ROW * n));
    lanes.forEach((lane, row) => this.paintLane(pen, lane, this.top + LANE * row));
  }

  toX(time) {
    const { left, width, low, high } = this.plot;
    return left + width * Math.max(0, Math.min(1, (time - low) / (high - low)));
  }

  paintLane(pen, lane, top) {
    const { left, width, names } = this.plot, middle = top + LANE / 2;
    pen.strokeStyle = "#bbbbbb";
    pen.lineWidth = 1;
    pen.strokeRect(left + 0.5, top + 1.5, width - 1, LANE - 3);
    for (const [begin, end, kind] of lane.spans) {
      this.paintSpan(pen, this.toX(begin), this.toX(end), top + 2, this.shown.kinds[kind]);
    }
    pen.font = FONT;
    pen.fillStyle = INK;
    pen.textAlign = "left";
    if (names) pen.fillText(lane.label, names, middle);
    else {
      pen.textAlign = "right";
      const short = lane.label.split(" ").map((word) => word[0].toUpperCase()).join("");
      pen.fillText(short, left - 5, middle);
    }
  }

  paintSpan(pen, from, to, top, { letter, pattern }) {
    const wide = Math.max(1.5, to - from), colour = COLOURS[STYLE[pattern]];
    if (wide < NARROW) {
      const [begin, end] = BLOCK[pattern];
      pen.fillStyle = colour;
      pen.fillRect(from, top + begin * BAR, wide, (end - begin) * BAR);
      return;
    }
    pen.save();
    pen.beginPath();
    pen.rect(from, top, wide, BAR);
    pen.clip();
    pen.translate(from, top);
    pen.strokeStyle = colour;
    pen.lineWidth = 1.5;
    pen.beginPath();
    for (const [x0, y0, x1, y1] of hatch(pattern, wide, BAR)) {
      pen.moveTo(x0, y0);
      pen.lineTo(x1, y1);
    }
    pen.stroke();
    pen.restore();
    pen.fillStyle = colour;
    pen.fillRect(from, top, 1.5, BAR);
    if (wide < LETTER) return;
    pen.font = BOLD;
    pen.textAlign = "center";
    pen.fillStyle = "#ffffff";
    pen.fillRect(from + wide / 2 - 5, top, 10, BAR);
    pen.fillStyle = INK;
    pen.fillText(letter, from + wide / 2, top + BAR / 2 + 0.5);
  }

  /** Beside each lane the name of its phase at the cursor, or its letter where room is short. */
  paintNow(pen) {
    const { names } = this.plot, { lanes, kinds } = this.shown;
    if (!names) return;
    pen.textBaseline = "middle";
    pen.textAlign = "right";
    pen.fillStyle = INK;
    lanes.forEach((lane, row) => {
      const span = lane.spans.find(([begin, end]) =>
        begin < this.time + 1e-4 && this.time < end - 1e-4
      );
      if (!span) return;
      const free = this.width - names - widthOf(pen, FONT, lane.label) - 10;
      const { name, letter } = kinds[span[2]];
      const words = widthOf(pen, BOLD, name) > free ? letter : name;
      pen.font = BOLD;
      pen.fillText(words, this.width, this.top + LANE * (row + 0.5));
    });
  }

  cursor(time) {
    this.time = time;
    this.paint();
  }

  paint() {
    if (!this.shown || !this.plot || !this.width) return;
    const pen = sizeCanvas(this.canvas, this.width, this.height);
    this.still.show(pen, this.width, this.height, (own) => this.paintStill(own));
    if (this.time === null) return;
    this.paintNow(pen);
    const x = this.toX(this.time);
    for (const { colour, wide } of [{ colour: "#ffffff", wide: 4 }, { colour: INK, wide: 1.5 }]) {
      pen.strokeStyle = colour;
      pen.lineWidth = wide;
      pen.beginPath();
      pen.moveTo(x, this.top);
      pen.lineTo(x, this.height - 4);
      pen.stroke();
    }
  }
}
