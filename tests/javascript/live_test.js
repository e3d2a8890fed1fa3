// A page that changes in place: attributes follow, too, but for what the reader unfolded.

import assert from "node:assert/strict";
import { test } from "node:test";
import { patch } from "../../tractionlab/lesson/live.js";

Object.assign(globalThis, { Node: { ELEMENT_NODE: 1, TEXT_NODE: 3 } });

/** @returns {any} */
function element(nodeName, given) {
  const held = new Map(Object.entries(given));
  return {
    nodeName,
    nodeType: 1,
    childNodes: [],
    get attributes() {
      return [...held].map(([name, value]) => ({ name, value }));
    },
    getAttribute: (name) => held.get(name) ?? null,
    hasAttribute: (name) => held.has(name),
    setAttribute: (name, value) => held.set(name, value),
    removeAttribute: (name) => held.delete(name),
  };
}

test("a mark that is gone is taken away", () => {
  const row = element("TR", { class: "still", id: "3" });
  patch(row, element("TR", { id: "4" }));
  assert.deepEqual(row.attributes, [{ name: "id", value: "4" }]);
});

test("what the reader unfolded stays open", () => {
  const part = element("DETAILS", { open: "" });
  patch(part, element("DETAILS", {}));
  assert.equal(part.hasAttribute("open"), true);
});
