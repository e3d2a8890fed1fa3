// Fingerprint of a notebook's cells in the browser.

import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { test } from "node:test";
import {
  printOf,
  sha256,
} from "../../tractionlab/start/page/tractionlab-lesson-page/static/0.8.0/print.js";

test("the worked examples of the standard (FIPS 180-2, appendix B)", () => {
  assert.equal(
    sha256("abc"),
    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
  );
  assert.equal(
    sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
    "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
  );
  assert.equal(
    sha256("a".repeat(1_000_000)),
    "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
  );
});

test("texts of every length up to three blocks, as the library has them", () => {
  for (let length = 0; length <= 192; length++) {
    const text = "ä1€".repeat(length).slice(0, length);
    assert.equal(sha256(text), createHash("sha256").update(text).digest("hex"));
  }
});

test("kind and words of each cell count", () => {
  const cell = (type, source) => ({ model: { type, sharedModel: { getSource: () => source } } });
  const print = (...cells) => printOf({ widgets: cells });
  const text = '[["markdown","# Größe\\n"],["code","say()"]]';
  assert.equal(print(cell("markdown", "# Größe\n"), cell("code", "say()")), sha256(text));
  assert.notEqual(print(cell("code", "say()")), print(cell("code", "say() ")));
  assert.notEqual(print(cell("code", "say()")), print(cell("markdown", "say()")));
});
