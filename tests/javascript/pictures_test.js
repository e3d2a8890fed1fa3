// Letters and pictures of the big screen.

import assert from "node:assert/strict";
import { test } from "node:test";
import { settingsInWords } from "../../tractionlab/paint/js/big_line.js";
import { circuitRows, phaseRows } from "../../tractionlab/paint/js/big_list.js";
import { magnification, only, picturesOf, spanOf } from "../../tractionlab/paint/js/pictures.js";

const chart = (title, x, over_time = true) => ({ title, over_time, lines: [{ x }] });
const view = {
  scenes: [],
  circuit: null,
  wiring: null,
  closeup: null,
  charts: [chart("Speeds", [0, 5]), chart("All", [0, 100], false)],
  phases: null,
  lanes: null,
  figures: [{}],
  tables: [],
};

test("a capital of the smallest letters is seen under 16 minutes of arc from 8 m", () => {
  for (const across of [1280, 1920, 3840]) {
    const capital = 12 * 0.68 * magnification(across) * 2 / across; // m, on a picture 2 m wide
    const minutes = Math.atan(capital / 8) * 180 / Math.PI * 60;
    assert.ok(Math.abs(minutes - 16) < 0.01, `${minutes}`);
  }
});

test("pictures are those that the view has", () => {
  assert.deepEqual(picturesOf(view).map(([name]) => name), ["Speeds", "All", "figures", "words"]);
  const part = only({ ...view, scenes: [{}], phases: {} }, "All");
  assert.deepEqual([part.scenes, part.phases, part.charts.length], [[], null, 1]);
});

test("the time is that of the car, the circuit or the charts over time", () => {
  assert.deepEqual(spanOf(view), [0, 5]);
  assert.deepEqual(spanOf({ ...view, circuit: { time: [0, 1.4] } }), [0, 1.4]);
  assert.deepEqual(spanOf({ ...view, closeup: { time: [0, 250] } }), [0, 250]);
  assert.deepEqual(spanOf({ ...view, scenes: [{ time: [0, 3] }, { time: [0, 4] }] }), [0, 4]);
  assert.equal(spanOf({ ...view, charts: view.charts.slice(1) }), null);
});

test("settings that differ are told in words, others and hidden ones not", () => {
  const controls = [
    { kind: "Slider", name: "pedal", label: "Throttle", unit: "%", value: 100 },
    {
      kind: "Choice",
      name: "road",
      label: "Road",
      options: [["i", "Ice"], ["s", "Snow"]],
      value: "s",
    },
    { kind: "Switch", name: "on", label: "Control on", value: false },
    { kind: "Slider", name: "rise", label: "Rise", unit: "", value: 1, when: ["road", "s"] },
    { kind: "Probes", name: "probes", label: "Probe", value: {} },
  ];
  const values = { pedal: 40, road: "i", on: true, rise: 2, probes: { R: "x" } };
  assert.deepEqual(settingsInWords(controls, values), ["Throttle 40 %", "Road: Ice", "Control on"]);
  assert.deepEqual(
    settingsInWords(controls, { ...values, pedal: 100, road: "s", on: false }),
    ["Rise 2"],
  );
});

test("beside a circuit stand its brakes and what has current, letters stay", () => {
  const part = (name, symbol) => ({ name, symbol, state_at: symbol === "wheel" ? null : [0, 0] });
  const drawing = {
    parts: [part("Valve", "two_way"), part("Pump", "motor"), part("Rear brake", "wheel")],
  };
  const states = [
    [["open", "closed, 2.0 A"], ["open", "closed\n2.0 A"]],
    [["stands still", "runs"], ["off", "runs"]],
    [["0 bar", "60 bar"], ["", ""]],
  ];
  const rows = (state) => circuitRows(drawing, { states }, state).map((r) => r.letter + r.words);
  assert.deepEqual(rows([0, 0, 1]), ["CRear brake: 60 bar"]);
  assert.deepEqual(rows([1, 1, 0]), ["AValve: closed", "BPump: runs", "CRear brake: 0 bar"]);
});

test("the legend of phases is a row for each letter", () => {
  assert.deepEqual(
    phaseRows("I increase, G grow in a ramp").map(({ letter, words }) => [letter, words]),
    [["I", "increase"], ["G", "grow in a ramp"]],
  );
});
