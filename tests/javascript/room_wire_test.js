// Messages between a page of the exam room and the kernel behind it, as bytes.

import assert from "node:assert/strict";
import { test } from "node:test";
import { packed, unpacked } from "../../tractionlab/start/room/page/wire.js";
import { Model, withBuffers } from "../../tractionlab/start/room/page/widgets.js";

test("what is packed is read again, letters of two bytes too", () => {
  const header = { msg_type: "comm_msg" }, content = { data: "Müßig, 20 Ω" };
  const read = unpacked(packed("shell", [header, {}, {}, content]).buffer);
  assert.deepEqual([read.header, read.content, read.buffers], [header, content, []]);
});

test("a message begins with the number and the places of its pieces", () => {
  const bytes = packed("shell", [{}, {}, {}, {}]);
  const numbers = new BigUint64Array(bytes.buffer.slice(0, 56));
  assert.deepEqual([...numbers].map(Number), [6, 56, 61, 63, 65, 67, 69]);
  assert.equal(bytes.length, 69);
});

test("buffers come to their places in a state", () => {
  const state = { a: { state: { title: "x" } } };
  withBuffers(state, [["a", "state", "block"]], ["bytes"]);
  assert.deepEqual(state, { a: { state: { title: "x", block: "bytes" } } });
});

test("a form hears what the kernel says of it, and no more after it has gone", () => {
  const model = new Model("1", { face: 1 }, { send: () => {}, kernel: {} }), heard = [];
  const show = () => heard.push(model.get("face"));
  model.on("change:face", show);
  model.on("msg:custom", (content) => heard.push(content));
  model.hear({ method: "update", state: { face: 2 }, buffer_paths: [] }, []);
  model.hear({ method: "custom", content: "saved" }, []);
  model.off("change:face", show);
  model.hear({ method: "update", state: { face: 3 }, buffer_paths: [] }, []);
  assert.deepEqual(heard, [2, "saved"]);
});
