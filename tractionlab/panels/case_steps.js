// Steps of a repair case: the sections in which the learner chooses what to do next.

import { labelled, list, ticked } from "../paint/js/fields.js";
import { make } from "../paint/js/make.js";

/**
 * What every section is made with.
 * @typedef {Object} Bench
 * @property {string} id begin of the names on the page
 * @property {Object<string, any>} first what stays the same through the case
 * @property {(command: string, values?: Object<string, any>) => void} send
 * @property {(words: string, act: () => void, main?: boolean) => HTMLButtonElement} button
 */

/** @param {string} title @param {...(Node | string)} children */
export function section(title, ...children) {
  return make("section", { class: "tl-part" }, make("h4", {}, title), ...children);
}

/** @param {...Node} buttons */
export const row = (...buttons) => make("div", { class: "tl-buttons" }, ...buttons);

/** @returns {[HTMLElement, HTMLSelectElement]} */
function choice(id, label, options) {
  const select = list(options, { id });
  return [labelled(label, select), select];
}

/** @param {Bench} bench */
export function cautions({ first, send, button }) {
  const words = first.cautions.map(([title, text]) =>
    make("li", {}, make("strong", {}, `${title}. `), text)
  );
  const above = "An unsafe step ends the case. The maker's workshop information and local rules " +
    "come first.";
  const read = button("I have read the cautions", () => send("cautions"), true);
  return section("Cautions", make("ul", {}, ...words), make("p", {}, above), read);
}

/** @param {Bench} bench */
export function chooseTest({ id, first, send, button }) {
  const [testField, test] = choice(
    `${id}-test`,
    "Test",
    first.tests.map(([key, name, , minutes]) => [key, `${key}  ${name}  (${minutes} min)`]),
  );
  const does = make("p", { class: "tl-does" }), warn = make("ul", { class: "tl-warn" });
  const boxes = first.preparations.map(([key]) =>
    make("input", { type: "checkbox", id: `${id}-${key}`, value: key })
  );
  const lead = "Drive under the conditions of";
  const [conditionField, condition] = choice(`${id}-condition`, lead, first.conditions);
  const take = button("", () =>
    send("test", {
      test: test.value,
      prepared: boxes.filter((box) => box.checked).map((box) => box.value),
      condition: test.value === "T28" ? condition.value : "",
    }), true);
  const chosen = () => {
    const [key, , doing, minutes, cares] = first.tests.find(([key]) => key === test.value);
    does.textContent = doing;
    warn.replaceChildren(...cares.map((words) => make("li", {}, words)));
    warn.hidden = cares.length === 0;
    conditionField.hidden = key !== "T28";
    take.textContent = `Take ${key}: ${minutes} minutes, cannot be undone`;
  };
  test.addEventListener("change", () => {
    for (const box of boxes) box.checked = false;
    chosen();
  });
  chosen();
  const before = make(
    "fieldset",
    {},
    make("legend", {}, "Done before? Tick what this test needs."),
    ...first.preparations.map(([, words], i) => ticked(words, boxes[i])),
  );
  const hint = button("Hint (minus 5 points)", () => send("hint"));
  const title = "Choose a test";
  return section(title, testField, does, warn, before, conditionField, row(take, hint));
}

/**
 * @param {Bench} bench
 * @param {(pressed: HTMLElement) => void} opening
 */
export function measureInWiring({ first, send, button }, opening) {
  const groups = first.groups.map(([group, words]) => {
    const node = button(`Measure at: ${words.toLowerCase()}`, () => {
      opening(node);
      send("measure_at", { group });
    });
    return node;
  });
  const words = "Meter, clamp and oscilloscope at points that you choose yourself. " +
    `Each reading takes ${first.reading_minutes} minutes and cannot be undone.`;
  return section("Measure in the wiring", make("p", {}, words), row(...groups));
}

/** @param {Bench} bench */
export function repair({ id, first, send, button }) {
  const empty = ["", "choose"], places = first.places.map((name) => [name, name]);
  const [placeField, place] = choice(`${id}-place`, "Place", [empty, ...places]);
  const [kindField, kind] = choice(`${id}-kind`, "Kind of fault", [empty, ...first.kinds]);
  const [whyField, why] = choice(`${id}-why`, "Why it happened", [empty, ...first.whys]);
  const words = `Each repair takes ${first.repair_minutes} minutes. ` +
    "A part that was not at fault costs points.";
  const mend = button("Repair", () => {
    send("repair", { place: place.value, kind: kind.value, why: why.value });
  }, true);
  const clear = button(`Clear the memory (${first.clear_minutes} min)`, () => send("clear"));
  const fields = [placeField, kindField, whyField];
  return section("Repair", make("p", {}, words), ...fields, row(mend, clear));
}

/**
 * The note, kept as a draft until it is in the record; `noted(text)` empties the box then.
 * @param {Bench} bench
 * @param {import("../paint/js/draft.js").Draft} draft
 */
export function record({ id, send, button }, draft) {
  const text = make("textarea", { id: `${id}-note`, rows: "2" });
  text.value = draft.read() ?? "";
  text.addEventListener("input", () => draft.keep(text.value));
  const write = button("Write down", () => send("note", { text: text.value }));
  const label = "Note with value, unit and place, before and after";
  const noted = (kept) => {
    if (text.value !== kept) return; // more has been typed since
    text.value = "";
    draft.drop();
  };
  return { node: section("Record", labelled(label, text), row(write)), noted };
}

/** @param {Bench} bench */
export function end({ id, first, send, button }) {
  const tests = first.tests.map(([key, name]) => [key, `${key}  ${name}`]);
  const second = "Second one, if you cannot tell";
  const [oneField, one] = choice(`${id}-one`, "Suspected fault", first.suspects);
  const [twoField, two] = choice(`${id}-two`, second, first.suspects);
  const [nextField, next] = choice(`${id}-next`, "Next I would do", tests);
  const stop = button("Stop here", () => {
    send("honest_stop", { suspected: [one.value, two.value], next: next.value });
  });
  const summary = make("summary", {}, "Honest stop: not proven");
  return section(
    "End",
    row(button("Hand the car over", () => send("finish"), true)),
    make("details", {}, summary, oneField, twoField, nextField, row(stop)),
  );
}
