// Tried: when a task counts as done by what was set at the panel.

import assert from "node:assert/strict";
import { test } from "node:test";
import { Tried } from "../../tractionlab/start/page/tractionlab-lesson-page/static/0.8.0/tried.js";

test("of two settings both are to be tried, the rest of the panel does not matter", () => {
  const tried = new Tried([{ pedal: 5 }, { pedal: 100 }]);
  assert.equal(tried.see({ pedal: 5, surface: "ice" }), false);
  assert.equal(tried.see({ pedal: 60, surface: "ice" }), false);
  assert.equal(tried.see({ pedal: 94, surface: "snow" }), true);
});

test("of four settings three are enough, the same one counts once", () => {
  const tried = new Tried([4, 5, 7, 10].map((pedal) => ({ pedal })));
  for (const pedal of [4, 4, 5, 5, 6]) assert.equal(tried.see({ pedal }), false);
  assert.equal(tried.see({ pedal: 7 }), true);
});

test("a choice is the same or not; nothing is near zero but zero", () => {
  const tried = new Tried([{ surface: "ice", slip: 0 }]);
  assert.equal(tried.see({ surface: "ice", slip: 0.5 }), false);
  assert.equal(tried.see({ surface: "snow", slip: 0 }), false);
  assert.equal(tried.see({ surface: "ice", slip: 0 }), true);
});

test("a task without settings is never done by itself", () => {
  assert.equal(new Tried([]).see({ pedal: 5 }), false);
});

test("what is forgotten is to be tried again", () => {
  const tried = new Tried([{ on: true }]);
  assert.equal(tried.see({ on: true }), true);
  tried.forget();
  assert.equal(tried.see({ on: false }), false);
});
