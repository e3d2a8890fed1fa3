// My runs: what differs between them, in words, and where their pale lines come from.

import assert from "node:assert/strict";
import { test } from "node:test";
import { Controls } from "../../tractionlab/paint/js/controls.js";
import { paleLines } from "../../tractionlab/paint/js/pale.js";
import { differing } from "../../tractionlab/paint/js/runs.js";

const options = [["ice", "Ice"], ["snow", "Packed snow"]];
const SPECS = [
  { kind: "Slider", name: "pedal", label: "Throttle", unit: "%" },
  { kind: "Choice", name: "road", label: "Road", options },
  { kind: "Slider", name: "depth", label: "Depth", unit: "mm", when: ["road", "snow"] },
  { kind: "Switch", name: "on", label: "Control on" },
];

test("only what is not the same in all runs is said, and only of controls that are there", () => {
  const base = { pedal: 40, road: "ice", depth: 3, on: true };
  assert.deepEqual(differing(SPECS, [base, { ...base, pedal: 60 }]), [
    "Throttle 40 %",
    "Throttle 60 %",
  ]);
  assert.deepEqual(differing(SPECS, [base, { ...base, depth: 9 }]), ["", ""]);
  assert.deepEqual(differing(SPECS, [base, { ...base, road: "snow", on: false }]), [
    "Road Ice; Control on on",
    "Road Packed snow; Depth 3 mm; Control on off",
  ]);
});

test("a kept run gives a pale line to charts over time of the same title", () => {
  const lines = { Speeds: { label: "car", x: [0, 1, 2], y: [0, null, 4] } };
  const kept = [{ letter: "B", lines }];
  assert.deepEqual(paleLines(kept, { title: "Speeds", over_time: false }), []);
  assert.deepEqual(paleLines(kept, { title: "Push", over_time: true }), []);
  const [line] = paleLines(kept, { title: "Speeds", over_time: true });
  assert.deepEqual([line.letter, line.style, line.rising], ["B", 1, true]);
  assert.deepEqual(line.y, [0, NaN, 4]);
});

/** Controls without a page: only what was set counts. */
function controls() {
  const made = Object.create(Controls.prototype);
  Object.assign(made, { start: { pedal: 1 }, values: { pedal: 1 }, kept: { pedal: 1 } });
  Object.assign(made, { past: [], future: [], parts: { pedal: { set: () => {} } } });
  made.whenMoved = () => {};
  return made;
}

test("redo brings back what undo took, until something else is set", () => {
  const made = controls(), at = () => made.values.pedal;
  for (const pedal of [2, 3]) made.change({ pedal });
  made.undo();
  made.undo();
  assert.equal(at(), 1);
  made.redo();
  assert.equal(at(), 2);
  made.redo();
  assert.equal(at(), 3);
  made.redo();
  assert.equal(at(), 3);
  made.undo();
  made.change({ pedal: 7 });
  made.redo();
  assert.equal(at(), 7);
  made.undo();
  assert.equal(at(), 2);
});
