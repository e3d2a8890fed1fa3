// Caller: what is said when the computation does not answer.

import assert from "node:assert/strict";
import { mock, test } from "node:test";
import { AT_WORK, Caller, PATIENCE } from "../../tractionlab/paint/js/caller.js";

/** A caller with a computation in that state, on a page that offers these buttons. */
function caller(kernel, { buttons = [], fails = false } = {}) {
  const lost = [], late = [], told = [];
  const send = () => {
    if (fails) throw new Error("closed");
  };
  const page = { querySelectorAll: () => buttons };
  const node = { closest: () => page, dispatchEvent: ({ type }) => told.push(type) };
  const model = { send, widget_manager: { kernel } };
  const made = new Caller(model, node, (words) => lost.push(words), (words) => late.push(words));
  return { made, lost, late, told };
}

function withTimers(act) {
  mock.timers.enable({ apis: ["setTimeout"] });
  try {
    act();
  } finally {
    mock.timers.reset();
  }
}

test("an answer in time: nothing is said", () =>
  withTimers(() => {
    const { made, lost, late } = caller({ status: "idle", connectionStatus: "connected" });
    made.send({});
    mock.timers.tick(PATIENCE - 1);
    made.answered();
    mock.timers.tick(10 * PATIENCE);
    assert.deepEqual([lost, late], [[], []]);
  }));

test("a computation at work is waited for, and that is said", () =>
  withTimers(() => {
    const kernel = { status: "busy", connectionStatus: "connected" };
    const { made, lost, late } = caller(kernel);
    made.send({});
    mock.timers.tick(PATIENCE);
    mock.timers.tick(PATIENCE);
    assert.deepEqual([lost, late], [[], [AT_WORK, AT_WORK]]);
    kernel.status = "idle";
    mock.timers.tick(PATIENCE);
    assert.equal(lost.length, 1);
  }));

test("no answer: the button that the page shows is named, a hidden one is not", () =>
  withTimers(() => {
    const hidden = { offsetParent: null, textContent: "Old" };
    const shown = { offsetParent: {}, textContent: " Start this lesson " };
    const buttons = [hidden, shown];
    const kernel = { status: "idle", connectionStatus: "connected" };
    const { made, lost, told } = caller(kernel, { buttons });
    made.send({});
    mock.timers.tick(PATIENCE);
    assert.deepEqual(told, ["tl-unanswered"]);
    assert.match(lost[0], /^No answer from the computation\. Press "Start this lesson" at the top/);
  }));

test("the course was closed: the way is to open it again", () =>
  withTimers(() => {
    const kernel = { status: "unknown", connectionStatus: "disconnected" };
    const { made, lost, told } = caller(kernel);
    made.send({});
    mock.timers.tick(PATIENCE);
    assert.deepEqual(told, [], "there is no computation that a page could start");
    assert.match(lost[0], /open the course again\. Then reload this page \(F5\)\.$/);
  }));

test("the line comes back with a fresh computation: the way to go on is said anew", () =>
  withTimers(() => {
    /** @type {((status: string) => void) | undefined} */
    let hears;
    const connectionStatusChanged = {
      connect: (slot, self) => hears = (status) => slot.call(self, kernel, status),
      disconnect: () => hears = undefined,
    };
    const kernel = { status: "unknown", connectionStatus: "connecting", connectionStatusChanged };
    const buttons = [{ offsetParent: {}, textContent: "Start to go on" }];
    const { made, lost, told } = caller(kernel, { buttons });
    made.send({});
    mock.timers.tick(PATIENCE);
    assert.match(lost.at(-1), /Then reload this page \(F5\)\.$/);
    kernel.connectionStatus = "connected";
    hears?.("connected");
    assert.match(lost.at(-1), /Press "Start to go on" at the top/);
    assert.deepEqual([lost.length, told, hears], [2, ["tl-unanswered"], undefined]);
    kernel.connectionStatus = "connecting";
    made.send({});
    mock.timers.tick(PATIENCE);
    made.answered();
    assert.equal(hears, undefined, "an answer came by itself");
  }));

test("a line that is closed is told at once", () => {
  const { made, lost } = caller({ status: "idle" }, { fails: true });
  made.send({});
  assert.match(lost[0], /menu Run, then Run All Cells\.$/);
});
