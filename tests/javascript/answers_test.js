// How far a question is answered: a sketch that misses a point is not, nor one valve of two.

import assert from "node:assert/strict";
import { test } from "node:test";
import { share } from "../../tractionlab/assess/desk/answers.js";

const answered = (field, value) => share(field, value) >= 1;

test("a sketch is answered once every point is set", () => {
  const field = { kind: "sketch", points: [0, 10, 20] };
  assert.equal(share(field, ["", "", ""]), 0);
  assert.equal(answered(field, ["5", "6", ""]), false);
  assert.equal(answered(field, ["5", "6", "0"]), true);
});

test("valves and settings are answered once each has its own", () => {
  const valves = { kind: "states", choices: [["a", "Valve A"], ["b", "Valve B"]] };
  const tuning = { kind: "tuning", settings: [{ name: "gain" }, { name: "time" }] };
  for (const [field, names] of [[valves, ["a", "b"]], [tuning, ["gain", "time"]]]) {
    assert.equal(answered(field, { [names[0]]: "1" }), false);
    assert.equal(answered(field, { [names[0]]: "1", [names[1]]: "2" }), true);
  }
});

test("a way needs a place after its start; what only holds spaces is empty", () => {
  assert.equal(answered({ kind: "path" }, ["pump"]), false);
  assert.equal(answered({ kind: "path" }, ["pump", "brake"]), true);
  assert.equal(answered({ kind: "path" }, "none"), true);
  assert.equal(answered({ kind: "number" }, "  "), false);
});
