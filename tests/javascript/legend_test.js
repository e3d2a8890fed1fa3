// Legend: what fits beside a chart, and in how many columns.

import assert from "node:assert/strict";
import { test } from "node:test";
import {
  fitted,
  legendColumns,
  legendWidth,
  paintLegend,
} from "../../tractionlab/paint/js/legend.js";

/** A pen whose letters are all 7 wide; it notes what it writes. */
function pen() {
  const written = [];
  return {
    written,
    measureText: (text) => ({ width: 7 * text.length }),
    fillText: (text, x, y) => written.push({ text, x, y }),
    beginPath() {},
    moveTo() {},
    lineTo() {},
    stroke() {},
    setLineDash() {},
  };
}
const lines = ["front left", "front right", "rear left", "rear right"].map((label, style) => ({
  label,
  style,
}));

test("a label that fits stays whole, another ends with an ellipsis and fits", () => {
  assert.equal(fitted(pen(), "front left", 70), "front left");
  const short = fitted(pen(), "front left", 50);
  assert.match(short, /^front.*\u2026$/);
  assert.ok(7 * short.length <= 50);
});

test("as many columns as the width holds, at least one and no more than lines", () => {
  const one = legendWidth(pen(), [{ lines }]);
  assert.equal(legendColumns(pen(), 10, lines), 1);
  assert.equal(legendColumns(pen(), 2 * one + 16, lines), 2);
  assert.equal(legendColumns(pen(), 2 * one + 15, lines), 1);
  assert.equal(legendColumns(pen(), 1e5, lines), lines.length);
});

test("every label is written once, inside the legend, and none over another", () => {
  const spy = pen(), area = { left: 300, top: 20, width: 400, height: 60, pitch: 18, columns: 2 };
  paintLegend(spy, area, lines);
  assert.deepEqual(spy.written.map(({ text }) => text), lines.map(({ label }) => label));
  const places = spy.written.map(({ x, y }) => `${x} ${y}`);
  assert.equal(new Set(places).size, lines.length);
  for (const { x, y } of spy.written) {
    assert.ok(x > area.left && x < area.left + area.width);
    assert.ok(y > area.top && y < area.top + area.height);
  }
});
