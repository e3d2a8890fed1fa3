// Wire: reads what the kernel sent, and asks it for the newest picture with one question under way
// at a time.

import { Caller } from "./caller.js";
import { rises } from "./numbers.js";

export function unpack(meta, block) {
  const bytes = block
    ? block.buffer.slice(block.byteOffset, block.byteOffset + block.byteLength)
    : new ArrayBuffer(0);
  const numbers = new Float32Array(bytes);
  const array = ([offset, length]) => numbers.subarray(offset, offset + length);
  const charts = (meta.charts || []).map((chart) => ({
    ...chart,
    lines: chart.lines.map((line) => {
      const x = array(line.x);
      return { ...line, x, y: array(line.y), rising: rises(x) };
    }),
  }));
  const scenes = (meta.scenes || []).map((scene) => {
    const out = { ...scene };
    for (
      const name of [
        "time",
        "x",
        "y",
        "yaw",
        "steer",
        "lamp",
        "wheel_angle",
        "drive_force",
        "side_force",
        "grip_limit",
        "pressure",
      ]
    ) {
      out[name] = array(scene[name]);
    }
    return out;
  });
  const circuit = meta.circuit && { ...meta.circuit, time: array(meta.circuit.time) };
  if (circuit) {
    for (const name of ["pressure", "flow", "state", "first", "second"]) {
      circuit[name] = meta.circuit[name].map(array);
    }
  }
  const phases = meta.phases && JSON.parse(meta.phases);
  return { ...meta, charts, scenes, circuit, phases, closeup: spread(meta.closeup, array) };
}

// A close-up with its arrays in place of where they stand in the block.
function spread(value, array) {
  if (!value || typeof value !== "object") return value;
  if (Array.isArray(value)) return value.map((part) => spread(part, array));
  if (value.at) return array(value.at);
  return Object.fromEntries(
    Object.entries(value).map(([name, part]) => [name, spread(part, array)]),
  );
}

// So long [ms] after a quick picture a slider that has not moved on counts as resting: inputs that
// came while it was drawn are heard first.
const SETTLE = 16;

export class Asker {
  // `unanswered` and `late` as in Caller; a question without an answer is dropped.
  constructor(model, node, unanswered, late) {
    this.caller = new Caller(model, node, (words) => {
      this.underWay = this.wanted = null;
      unanswered(words);
    }, late);
    this.name = Math.random().toString(36).slice(2);
    this.count = 0;
    this.underWay = null;
    this.wanted = null;
    this.settling = null;
  }

  get busy() {
    return this.underWay !== null;
  }

  ask(values) {
    this.wanted = values;
    if (!this.busy) this.send();
  }

  // The picture shown was the quick one: ask for the whole one unless the slider moves on.
  askWhole(values) {
    clearTimeout(this.settling);
    this.settling = setTimeout(() => {
      if (!this.busy) {
        this.wanted = values;
        this.send(true);
      }
    }, SETTLE);
  }

  send(whole = false) {
    if (this.wanted === null) return;
    this.underWay = `${this.name}:${++this.count}`;
    const values = this.wanted;
    this.wanted = null;
    this.caller.send({ kind: "draw", values, ask: this.underWay, whole });
  }

  // True if `answer` belongs to this view's question.
  arrived(answer) {
    if (answer !== this.underWay) return false;
    this.caller.answered();
    this.underWay = null;
    this.send();
    return true;
  }

  stop() {
    this.caller.answered();
    clearTimeout(this.settling);
  }
}
