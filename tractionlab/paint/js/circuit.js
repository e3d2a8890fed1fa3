// Circuit: symbols that move, pipes with pressure by value and line style, arrows that run with the
// flow.

import { circuitRows, paintLetter } from "./big_list.js";
import { paintPipeLegend, pipePen } from "./circuit_legend.js";
import { PartButtons, PartCard } from "./circuit_parts.js";
import { CIRCUIT_FONT, HEAVY, measured, paintArrows, paintShapes } from "./circuit_shapes.js";
import { INK } from "./legend.js";
import { COLOURS, PIPE_STEPS } from "./look.js";
import { make } from "./make.js";
import { inWords, placeIn } from "./numbers.js";
import { sharpness } from "./sharp.js";
import { sizeCanvas } from "./still.js";

const FLOW_LEAST = 0.1;
const LEGEND_ROW = 22, LEAST_SCALE = 0.85;

function pipeStyle(bar) {
  return PIPE_STEPS.findIndex(([limit]) => bar < limit);
}

function barInWords(bar) {
  return `${inWords(bar, Math.abs(bar) < 9.95 && Math.abs(bar) >= 0.05 ? 1 : 0)} bar`;
}

// Pressures, flows, states and motions of `circuit` at `time`.
function circuitAt(circuit, time) {
  const { i, next, part } = placeIn(circuit.time, time);
  const between = (column) => column[i] * (1 - part) + column[next] * part;
  const nearest = part < 0.5 ? i : next;
  return {
    pressure: circuit.pressure.map(between),
    flow: circuit.flow.map(between),
    state: circuit.state.map((column) => column[nearest]),
    first: circuit.first.map(between),
    second: circuit.second.map((column) => column[nearest]),
  };
}

// Parts that move all the time while they work.
const turns = (part) => part.shapes.some((shape) => shape.turn);

export class CircuitPicture {
  // `chosen(index)`: a part was clicked; without it the picture opens the card of the part.
  constructor(host, chosen = null) {
    this.canvas = make("canvas", { role: "img" });
    this.frame = make("div", { class: "tl-drawing" }, this.canvas);
    host.append(this.frame);
    this.host = host;
    this.card = new PartCard(this.frame, (index) => this.buttons.focus(index));
    this.buttons = new PartButtons(
      this.frame,
      chosen || ((index) => this.card.open(this.drawing, index, this.stateWords(index))),
    );
    this.width = 0;
    this.calm = globalThis.matchMedia("(prefers-reduced-motion: reduce)");
    this.marked = [];
    this.bare = null; // on the big screen: the room {wide, tall} for the drawing, without its words
    this.riddle = false; // a riddle shows how the parts stand, and nothing of pressure and flow
    this.still = document.createElement("canvas");
    host.hidden = true;
  }

  set(circuit, drawing) {
    this.circuit = circuit;
    this.host.hidden = !circuit;
    if (!circuit) {
      this.card.close();
      return;
    }
    if (this.drawing !== drawing) {
      this.drawing = drawing;
      this.paths = drawing.lines.map((line) => measured(line.points));
      this.phases = drawing.lines.map(() => 0);
      this.canvas.setAttribute(
        "aria-label",
        `${drawing.title}. Symbols of valves, pumps and brakes, joined by pipes; ` +
          `pressures and states stand beside them.`,
      );
      this.stillKey = null;
      this.buttons.set(drawing.parts, (part) => part.name);
      this.card.close();
    }
  }

  get span() {
    return this.circuit
      ? [this.circuit.time[0], this.circuit.time[this.circuit.time.length - 1]]
      : null;
  }

  get leastWidth() {
    return Math.ceil(LEAST_SCALE * this.drawing.size[0]);
  }

  get scale() {
    if (this.bare) {
      return Math.min(
        ...[this.bare.wide, this.bare.tall].map((room, i) => room / this.drawing.size[i]),
      );
    }
    return Math.max(LEAST_SCALE, Math.min(1.5, this.width / this.drawing.size[0]));
  }

  get height() {
    return this.circuit ? this.drawing.size[1] * this.scale + (this.bare ? 0 : LEGEND_ROW) : 0;
  }

  stateWords(index) {
    return this.circuit.states[index][0][this.now.state[index]];
  }

  partWords(index) {
    const part = this.drawing.parts[index], state = this.stateWords(index);
    return state ? `${part.name}, ${state}` : part.name;
  }

  // Pressure at the brakes in words, for the voice.
  read() {
    return this.drawing.parts.map((part, i) => (part.symbol === "wheel" ? this.partWords(i) : ""))
      .filter(Boolean).join(", ");
  }

  paint(time, playing) {
    if (!this.circuit || !this.width) return;
    const clock = performance.now(),
      dt = playing && this.last ? Math.min(0.1, (clock - this.last) / 1000) : 0;
    this.last = playing ? clock : 0;
    this.now = circuitAt(this.circuit, time);
    const width = this.drawing.size[0] * this.scale;
    this.frame.style.width = `${width}px`;
    this.buttons.place(this.scale);
    this.paintStill(width);
    const pen = sizeCanvas(this.canvas, width, this.height);
    pen.drawImage(this.still, 0, 0, width, this.height);
    pen.scale(this.scale, this.scale);
    this.paintFlow(pen, this.calm.matches ? 0 : dt);
    this.drawing.parts.forEach((part, i) => {
      if (turns(part)) this.paintPart(pen, part, i);
    });
    if (this.bare) {
      for (const { letter, index } of this.rows) {
        this.paintRow(pen, letter, this.drawing.parts[index]);
      }
    } else if (!this.riddle) this.paintPressures(pen);
    this.paintMarks(pen);
    if (!playing) this.buttons.name((index) => this.partWords(index));
    if (this.card.index !== null) this.card.say(this.stateWords(this.card.index));
  }

  // All that seldom changes is kept as an image: pipes, symbols that do not turn, words, legend.
  paintStill(width) {
    const styles = this.drawing.lines.map((
      line,
    ) => (this.riddle ? 1 : pipeStyle(this.now.pressure[line.node])));
    const shorts = this.drawing.parts.map((_, i) => this.circuit.states[i][1][this.now.state[i]]);
    const moved = this.drawing.parts.map((
      part,
      i,
    ) => (turns(part) ? 0 : Math.round(this.now.first[i] * 40) + this.now.second[i] * 1000));
    const key = `${this.riddle} ${this.bare} ${
      styles.join("")
    } ${shorts.join()} ${moved.join()} ${width} ${sharpness()}`;
    if (key === this.stillKey) return;
    this.stillKey = key;
    const pen = sizeCanvas(this.still, width, this.height);
    pen.save();
    pen.scale(this.scale, this.scale);
    pen.lineJoin = "round";
    this.paintPipes(pen, styles);
    this.drawing.parts.forEach((part, i) => {
      if (!turns(part)) this.paintPart(pen, part, i);
    });
    if (!this.bare) this.paintWords(pen, shorts);
    pen.restore();
    if (!this.riddle && !this.bare) paintPipeLegend(pen, this.height - LEGEND_ROW / 2);
  }

  paintPart(pen, part, i) {
    pen.save();
    pen.translate(part.at[0], part.at[1]);
    paintShapes(pen, part.shapes, this.now.first[i], this.now.second[i], Boolean(this.bare));
    pen.restore();
  }

  /** What works now, in rows beside the drawing. */
  get rows() {
    return circuitRows(this.drawing, this.circuit, this.now.state);
  }

  paintRow(pen, letter, { at: [x, y], box: [left, top] }) {
    paintLetter(pen, letter, x + left, y + top, this.scale);
  }

  paintPipes(pen, styles) {
    this.drawing.lines.forEach((line, i) => {
      pipePen(pen, styles[i], this.bare ? HEAVY : 1);
      pen.beginPath();
      for (const [x, y] of line.points) pen.lineTo(x, y);
      pen.stroke();
    });
    pen.setLineDash([]);
    pen.fillStyle = INK;
    for (const [x, y] of this.drawing.dots) {
      pen.beginPath();
      pen.arc(x, y, 3.2, 0, 7);
      pen.fill();
    }
  }

  // An arrow moves by a gap in a time that falls as the flow grows; all arrows of a drawing are one
  // shape.
  paintFlow(pen, dt) {
    pen.beginPath();
    this.paths.forEach((path, i) => {
      const flow = this.now.flow[i], size = Math.abs(flow);
      if (size < FLOW_LEAST || path.length < 7) return;
      const speed = Math.min(2.4, 0.55 * size ** 0.5);
      this.phases[i] = (this.phases[i] + Math.sign(flow) * speed * dt + 1) % 1;
      paintArrows(pen, path, this.phases[i], flow > 0);
    });
    pen.fillStyle = COLOURS[1];
    pen.strokeStyle = "#ffffff";
    pen.lineWidth = 1.6;
    pen.stroke();
    pen.fill();
  }

  paintMarks(pen) {
    this.marked.forEach((index, step) => {
      const { at: [x, y], box: [left, top, right, bottom] } = this.drawing.parts[index];
      pen.strokeStyle = COLOURS[3];
      pen.lineWidth = 3;
      pen.beginPath();
      pen.roundRect(x + left - 3, y + top - 3, right - left + 6, bottom - top + 6, 6);
      pen.stroke();
      pen.fillStyle = "#ffffff";
      pen.beginPath();
      pen.arc(x + left - 2, y + top - 2, 8, 0, 7);
      pen.fill();
      pen.lineWidth = 1.5;
      pen.stroke();
      pen.fillStyle = INK;
      pen.font = `bold ${CIRCUIT_FONT}`;
      pen.textAlign = "center";
      pen.textBaseline = "middle";
      pen.fillText(step + 1, x + left - 2, y + top - 1.5);
    });
  }

  paintWords(pen, shorts) {
    pen.setLineDash([]);
    pen.textBaseline = "middle";
    this.drawing.parts.forEach((part, i) => {
      pen.font = CIRCUIT_FONT;
      pen.fillStyle = INK;
      if (part.label_at) this.write(pen, part.label, part.label_at);
      if (!part.state_at || !shorts[i]) return;
      pen.font = `bold ${CIRCUIT_FONT}`;
      this.write(pen, shorts[i], part.state_at);
    });
  }

  paintPressures(pen) {
    pen.setLineDash([]);
    pen.textBaseline = "middle";
    pen.font = `bold ${CIRCUIT_FONT}`;
    pen.textAlign = "center";
    this.drawing.nodes.forEach(({ place }, i) => {
      if (!place) return;
      const text = barInWords(this.now.pressure[i]), width = pen.measureText(text).width + 6;
      pen.fillStyle = "#ffffff";
      pen.fillRect(place[0] - width / 2, place[1] - 7, width, 14);
      pen.fillStyle = INK;
      pen.fillText(text, place[0], place[1] + 0.5);
    });
  }

  write(pen, text, [x, y, align]) {
    pen.textAlign = align === "middle" ? "center" : align;
    text.split("\n").forEach((row, n) => pen.fillText(row, x, y + 12 * n));
  }
}
