// Numbers: ticks, axes, reading a curve, writing a value.

import assert from "node:assert/strict";
import { test } from "node:test";
import {
  digitsFor,
  extremes,
  inWords,
  niceStep,
  placeIn,
  rises,
  SteadyRange,
  ticksBetween,
  valueAt,
} from "../../tractionlab/paint/js/numbers.js";

test("a step is 1, 2 or 5 times a power of ten, and gives about as many as were asked for", () => {
  for (let span = 0.013; span < 5e4; span *= 1.37) {
    for (const count of [2, 4, 7]) {
      const step = niceStep(span, count);
      assert.ok(
        [1, 2, 5, 10].includes(Number((step / 10 ** Math.floor(Math.log10(step))).toFixed(6))),
      );
      assert.ok(span / step <= count + 1e-9 && span / step > count / 2.6);
    }
  }
});

test("ticks lie inside, at equal steps, with as many digits as they need", () => {
  const { ticks, digits } = ticksBetween(-0.3, 0.9, 4);
  assert.deepEqual(ticks.map((tick) => tick.toFixed(digits)), ["0.0", "0.5"]);
  const whole = ticksBetween(0, 100, 4).ticks.map((tick) => inWords(tick, 0));
  assert.deepEqual(whole, ["0", "50", "100"]);
  assert.equal(ticksBetween(0, 0.05, 5).digits, 2);
});

test("an axis that holds never shrinks, and takes in what comes", () => {
  const axis = new SteadyRange().follow(0, 100, true);
  axis.follow(0, 10, true);
  assert.ok(axis.follow(0, 10, true).high >= 100 && axis.follow(0, 240, true).high >= 240);
  assert.ok(axis.follow(0, 10).high < 100, "without runs to compare it fits what is shown");
  assert.deepEqual([axis.cover(2, 3).low, axis.cover(-4, 3).low], [0, -4]);
});

test("a value is written with a minus that is one, and never as minus nought", () => {
  assert.equal(inWords(-1.25, 1), "\u22121.3");
  assert.equal(inWords(-0.01, 1), "0.0");
  assert.equal(inWords(NaN, 1), "");
  assert.deepEqual([0.5, 5, 50, 5000].map(digitsFor), [3, 2, 1, 0]);
});

test("an axis grows at once, and shrinks only when it is much too large", () => {
  const axis = new SteadyRange();
  axis.follow(0, 9);
  assert.deepEqual([axis.low, axis.high], [0, 10]);
  axis.follow(0, 6);
  assert.deepEqual([axis.low, axis.high], [0, 10]);
  axis.follow(0, 11);
  assert.ok(axis.high >= 11);
  axis.follow(0, 1);
  assert.ok(axis.high < 2);
});

test("an axis of nothing, of one value and of no number is still an axis", () => {
  for (const [low, high] of [[Infinity, -Infinity], [3, 3], [NaN, 1]]) {
    const axis = new SteadyRange().follow(low, high);
    assert.ok(axis.high > axis.low && Number.isFinite(axis.high - axis.low));
  }
});

test("a curve is read between its points, and not beside them", () => {
  const line = { x: [0, 1, 3], y: [10, 20, 0], rising: true };
  assert.equal(valueAt(line, 0.5), 15);
  assert.equal(valueAt(line, 2), 10);
  assert.equal(valueAt(line, 3), 0);
  assert.ok(Number.isNaN(valueAt(line, 3.01)) && Number.isNaN(valueAt(line, -0.01)));
  assert.ok(Number.isNaN(valueAt({ ...line, rising: false }, 1)));
  assert.deepEqual(placeIn([0, 1, 3], 1), { i: 1, next: 2, part: 0 });
});

test("extremes skip what is no number, and a curve that turns back does not rise", () => {
  assert.deepEqual(extremes([[3, NaN, -2], [7]]), [-2, 7]);
  assert.ok(rises([0, 0, 1]) && !rises([0, 2, 1]) && !rises([]));
});
