// Draft: what is typed outlives a reload, and no store breaks nothing.

import assert from "node:assert/strict";
import { test } from "node:test";
import { Draft } from "../../tractionlab/paint/js/draft.js";

/** @returns {any} */
function store() {
  const kept = new Map();
  return {
    getItem: (name) => kept.get(name) ?? null,
    setItem: (name, words) => kept.set(name, words),
    removeItem: (name) => kept.delete(name),
  };
}

test("what was kept is there for the same name only, until it is dropped", () => {
  const box = store();
  new Draft("card 3", () => box).keep({ slip: "12" });
  assert.deepEqual(new Draft("card 3", () => box).read(), { slip: "12" });
  assert.equal(new Draft("card 4", () => box).read(), undefined);
  new Draft("card 3", () => box).drop();
  assert.equal(new Draft("card 3", () => box).read(), undefined);
});

test("a card without a name keeps nothing", () => {
  const box = store();
  new Draft("", () => box).keep("secret");
  assert.equal(box.getItem("tractionlab-draft "), null);
});

test("a browser that refuses its store costs nothing but the draft", () => {
  const draft = new Draft("note", () => {
    throw new Error("private window");
  });
  draft.keep("typed");
  draft.drop();
  assert.equal(draft.read(), undefined);
});
