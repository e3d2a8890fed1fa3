// Close-ups: what is said of them, where blocks and words stand.

import assert from "node:assert/strict";
import { test } from "node:test";
import { apart, readDiscs } from "../../tractionlab/paint/js/disc.js";
import { between, frameNear } from "../../tractionlab/paint/js/frames.js";
import { readRing } from "../../tractionlab/paint/js/ring.js";
import { blocksAt } from "../../tractionlab/paint/js/tread.js";

test("between two frames the value is mixed, beyond the ends it stays", () => {
  assert.deepEqual([-1, 0, 5, 10, 11].map((x) => between([0, 10], [2, 4], x)), [2, 2, 3, 4, 4]);
  assert.deepEqual([0.4, 0.6, 9].map((t) => frameNear([0, 1, 2], t)), [0, 1, 2]);
});

test("blocks go to the rear with the belt, one distance apart", () => {
  const tread = { block: 8, length: 120, belt: 2.5 };
  const [before, after] = [0, 1].map((time) => blocksAt(tread, time, 40));
  assert.equal(after[0] - before[0], 2.5);
  assert.ok(after.every((u, i) => i === 0 || Math.abs(u - after[i - 1] - 8) < 1e-9));
  assert.ok(before[0] <= -40 && before[before.length - 1] >= 160);
});

test("words beside a scale never touch", () => {
  assert.deepEqual(apart([100, 95, 94, 20]), [100, 85, 70, 20]);
});

test("the moment is told in words", () => {
  const ring = { time: [0, 1], tooth: [46, 47], gap: [0.8, 0.9], teeth: 48, poles: [] };
  assert.equal(
    readRing(ring, 0.9),
    "Nearest to the sensor is tooth 48 of 48, gap 0.9 millimetres",
  );
  const disc = { label: "rear left wheel", temperature: [20, 600], heat: [0, 1] };
  assert.equal(
    readDiscs({ time: [0, 10], discs: [disc], heats: ["no glow", "red just visible"] }, 10),
    "rear left wheel 600 degrees, red just visible",
  );
});
