// Wire: reading the block of numbers, and asking with one question under way at a time.

import assert from "node:assert/strict";
import { mock, test } from "node:test";
import { Asker, unpack } from "../../tractionlab/paint/js/wire.js";

/** A block that begins in the middle of a larger one, as the browser hands it over. */
function block(...numbers) {
  const whole = new Float32Array([99, ...numbers, 99]);
  return new DataView(whole.buffer, 4, 4 * numbers.length);
}

test("arrays are read from the block where the description says", () => {
  const line = { label: "speed", style: 0, x: [0, 2], y: [2, 2] };
  const view = unpack({ charts: [{ title: "t", lines: [line] }] }, block(1, 2, 30, 40));
  assert.deepEqual([...view.charts[0].lines[0].x], [1, 2]);
  assert.deepEqual([...view.charts[0].lines[0].y], [30, 40]);
  assert.equal(view.charts[0].lines[0].rising, true);
});

test("a picture without numbers is a picture", () => {
  const view = unpack({ sentence: "Nothing." }, null);
  assert.deepEqual([view.charts, view.scenes, view.sentence], [[], [], "Nothing."]);
});

function asker() {
  const sent = [], said = [];
  const model = { send: (message) => sent.push(message) };
  return { sent, said, asker: new Asker(model, null, (words) => said.push(words), () => {}) };
}

test("while a question is under way only the newest wish is kept", () => {
  const { sent, asker: door } = asker();
  for (const pedal of [10, 20, 30]) door.ask({ pedal });
  assert.deepEqual(sent.map((message) => message.values.pedal), [10]);
  assert.equal(door.arrived(sent[0].ask), true);
  assert.deepEqual(sent.map((message) => message.values.pedal), [10, 30]);
  door.arrived(sent[1].ask);
  assert.equal(door.busy, false);
  door.stop();
});

test("the answer to another view's question is not taken for one's own", () => {
  const { sent, asker: door } = asker(), other = asker();
  door.ask({ pedal: 10 });
  other.asker.ask({ pedal: 10 });
  assert.equal(door.arrived(other.sent[0].ask), false);
  assert.equal(door.busy, true);
  assert.equal(door.arrived(sent[0].ask), true);
  door.stop();
  other.asker.stop();
});

test("the whole picture is asked for when the slider rests, and not while it moves", () => {
  mock.timers.enable({ apis: ["setTimeout"] });
  try {
    const { sent, asker: door } = asker();
    door.askWhole({ pedal: 10 });
    door.ask({ pedal: 20 });
    mock.timers.tick(100);
    assert.deepEqual(sent.map((message) => message.whole), [false]);
    door.arrived(sent[0].ask);
    door.askWhole({ pedal: 20 });
    mock.timers.tick(100);
    assert.deepEqual(sent.map((message) => message.whole), [false, true]);
    door.stop();
  } finally {
    mock.timers.reset();
  }
});
