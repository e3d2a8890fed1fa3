// A module that many widgets of a page have: loaded once, and again where that failed.

import assert from "node:assert/strict";
import { test } from "node:test";
import finder from "../../tractionlab/paint/js/finder.js";

const TEXT = `let shows = 0;
export default { render: ({ el }) => el.push(++shows) };`;

test("a module is asked for once, and again after it did not come", async () => {
  const el = [], asked = [];
  let there = false;
  const get_model = async (number) => {
    asked.push(number);
    if (!there) throw new Error("no such widget");
    return { get: (name) => ({ text: TEXT })[name] };
  };
  const widget = (number) => ({ get: () => `IPY_MODEL_${number}`, widget_manager: { get_model } });
  await assert.rejects(finder.render({ model: widget("one"), el }), /no such widget/);
  there = true;
  await Promise.all(["two", "three"].map((number) => finder.render({ model: widget(number), el })));
  await finder.render({ model: widget("four"), el });
  assert.deepEqual([el, asked], [[1, 2, 3], ["one", "two"]]);
});
