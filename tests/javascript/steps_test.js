// Steps of a demonstration: no press is lost, whatever the order in which answers come.

import assert from "node:assert/strict";
import { test } from "node:test";
import { Steps } from "../../tractionlab/paint/js/big_steps.js";

/** A presenter, and a computation that answers when it is told to, in the order it was asked. */
function hall(count = 5) {
  const asked = [], steps = new Steps((message) => asked.push(message));
  const answer = () => {
    const { kind, at, ask } = asked.shift();
    if (kind === "step") steps.arrived({ ask, at });
    steps.heard({ ask: ask ?? null, count, own: false });
  };
  return { steps, asked, answer };
}

test("a press before the number of steps is known counts once it is", () => {
  const { steps, asked, answer } = hall();
  steps.look();
  steps.go(-Infinity);
  answer();
  answer();
  assert.deepEqual([steps.at, asked.length], [0, 0]);
});

test("the answer to another question ends no step that is under way", () => {
  const { steps, asked, answer } = hall();
  steps.look();
  answer();
  steps.look(); // opened once more, and a press at once
  steps.go(1);
  for (let left = 10; asked.length && left; left--) answer();
  assert.deepEqual([steps.at, asked.length], [0, 0]);
});

test("a step that comes after the patience has run out is shown, and the next one follows", () => {
  const { steps, asked, answer } = hall();
  steps.look();
  answer();
  steps.go(1);
  steps.lost();
  answer();
  assert.equal(steps.at, 0);
  steps.go(1);
  answer();
  assert.deepEqual([steps.at, asked.length], [1, 0]);
});

test("presses that come too fast end at the last one wanted; a panel without steps says so", () => {
  const { steps, asked, answer } = hall();
  steps.look();
  answer();
  for (let press = 0; press < 4; press++) steps.go(1);
  for (let left = 10; asked.length && left; left--) answer();
  assert.equal(steps.at, 3);
  const empty = hall(0);
  empty.steps.look();
  empty.answer();
  assert.equal(empty.steps.go(1), false);
});
