// Reasons and phases: from decision to decision, what holds at a time, and patterns in a bar.

import assert from "node:assert/strict";
import { test } from "node:test";
import { hatch, legendRows } from "../../tractionlab/paint/js/phases.js";
import { decisionsAt, momentFrom } from "../../tractionlab/paint/js/reasons.js";

/** @type {[number, number, string][]} */
const decisions = [[0.3, 0, "a"], [0.3, 2, "b"], [0.5, 0, "c"], [0.7, 1, "d"], [0.7, 2, "e"]];

test("the next decision goes through all moments, and stops after the last", () => {
  const seen = [];
  let time = 0;
  for (let n; (n = momentFrom(decisions, time, 1)) >= 0; time = decisions[n][0]) seen.push(n);
  assert.deepEqual(seen, [0, 2, 3]);
});

test("the previous decision begins with the first of its moment", () => {
  const seen = [];
  let time = 1;
  for (let n; (n = momentFrom(decisions, time, -1)) >= 0; time = decisions[n][0]) seen.push(n);
  assert.deepEqual(seen, [3, 2, 0]);
});

test("between two decisions both ways lead to a neighbour", () => {
  assert.equal(momentFrom(decisions, 0.4, 1), 2);
  assert.equal(momentFrom(decisions, 0.4, -1), 0);
});

test("a lane keeps its last decision, and has none before its first", () => {
  assert.deepEqual(decisionsAt(decisions, 4, 0.2), [-1, -1, -1, -1]);
  assert.deepEqual(decisionsAt(decisions, 4, 0.5), [2, -1, 1, -1]);
  assert.deepEqual(decisionsAt(decisions, 4, 9), [2, 3, 4, -1]);
});

test("rising lines rise, falling ones fall, and level ones do neither", () => {
  const slopes = (pattern) => new Set(hatch(pattern, 40, 12).map(([, a, , b]) => Math.sign(a - b)));
  assert.deepEqual([...slopes("rising")], [1]);
  assert.deepEqual([...slopes("falling")], [-1]);
  assert.deepEqual([...slopes("level")], [0]);
  assert.ok(hatch("dots", 40, 12).every(([from, , to]) => to - from < 2));
});

test("a legend that is too long goes on in further rows, entry by entry", () => {
  const rows = (first, wide) =>
    legendRows("I increase, R reduce, H hold", (s) => s.length, first, wide);
  assert.deepEqual(rows(40, 40), ["I increase, R reduce, H hold"]);
  assert.deepEqual(rows(22, 40), ["I increase, R reduce", "H hold"]);
  assert.deepEqual(rows(5, 12), ["", "I increase", "R reduce", "H hold"]);
});
