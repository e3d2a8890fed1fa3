// Wiring controls: which probe is put on next, where the probes are, and which plugs are pulled;
// the diagram changes them.

import { labelFor } from "./fields.js";
import { freshName, make, say } from "./make.js";

// One row for each probe: the probe that the next point is for is chosen, and each can be taken
// off.
export function makeProbes(spec, moved, settled) {
  const group = freshName();
  let value = spec.value;
  const change = (next) => {
    value = next;
    show(value);
    moved(value);
    settled();
  };
  const rows = spec.options.map(([letter, words]) => {
    const radio = make("input", { type: "radio", name: group, id: freshName(), value: letter });
    const place = make("span", { class: "tl-place" });
    const off = make(
      "button",
      { type: "button", "aria-label": `Take off the ${words}` },
      "Take off",
    );
    radio.addEventListener("change", () => change({ ...value, next: letter }));
    off.addEventListener("click", () => {
      change({ ...value, next: letter, [letter]: "" });
      radio.focus();
    });
    return {
      letter,
      radio,
      place,
      off,
      node: make(
        "div",
        { class: "tl-probe" },
        radio,
        labelFor(radio, `${words} (${letter})`),
        off,
        place,
      ),
    };
  });
  const show = (next) => {
    value = next;
    for (const row of rows) {
      row.radio.checked = value.next === row.letter;
      row.off.hidden = !value[row.letter];
    }
  };
  show(value);
  const node = make(
    "fieldset",
    { class: "tl-control tl-probes" },
    make("legend", {}, spec.label),
    ...rows.map((row) => row.node),
  );
  const tell = (shown) => {
    for (const row of rows) {
      const words = shown?.probes.find(([letter]) => letter === row.letter)?.[2] || "";
      say(row.place, words);
      row.place.hidden = !words;
      row.node.hidden = !(shown?.letters || []).includes(row.letter);
    }
  };
  return { node, set: show, tell };
}

export function makePulled(spec, moved, settled) {
  let value = spec.value;
  const list = make("div", { class: "tl-pulled" });
  const all = make("button", { type: "button" }, "Put all back");
  all.addEventListener("click", () => {
    value = [];
    moved(value);
    settled();
  });
  const node = make(
    "div",
    { class: "tl-control tl-pulls" },
    make("span", {}, spec.label),
    list,
    all,
  );
  const tell = (shown) => {
    say(list, shown?.pulled_words.length ? shown.pulled_words.join("; ") : "none");
    all.disabled = !value.length;
  };
  return {
    node,
    set: (next) => {
      value = next;
      all.disabled = !value.length;
    },
    tell,
  };
}
