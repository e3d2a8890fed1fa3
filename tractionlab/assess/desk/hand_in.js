// The end of the desk's page: hand in, and what a supervisor enters: lost time and breaks.

import { labelled, textBox, ticked } from "../../paint/js/fields.js";
import { make, say } from "../../paint/js/make.js";

/**
 * @param {string} id
 * @param {HTMLElement} message where it is said what is missing
 * @param {() => void} send
 */
export function handInForm(id, message, send) {
  const own = make("input", { type: "checkbox", id: `${id}-own` });
  const hand = make("button", { type: "submit", "aria-disabled": "true" }, "Hand in");
  own.addEventListener("change", () => hand.setAttribute("aria-disabled", String(!own.checked)));
  const declared = "I worked alone, with no help but what the supervisor allowed. " +
    "After this I cannot change anything.";
  const form = make(
    "form",
    { class: "tl-hand-in" },
    make("p", { class: "tl-title" }, "Hand in"),
    make("p", { class: "tl-left" }),
    ticked(declared, own),
    hand,
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (!own.checked) return say(message, "Tick the declaration first.");
    say(message, "Handing in \u2026");
    send();
  });
  return form;
}

const person = (id) => textBox(id, { inputmode: null, maxlength: "200" });

/**
 * @param {string} words what the button says
 * @param {Record<string, HTMLInputElement>} boxes
 * @param {Record<string, string>} labels
 * @param {(given: Record<string, string>) => void} send
 */
function entry(words, boxes, labels, send) {
  const form = make(
    "form",
    { class: "tl-entered" },
    ...Object.entries(boxes).map(([name, box]) => labelled(labels[name], box, "tl-option")),
    make("button", { type: "submit" }, words),
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    send(Object.fromEntries(Object.entries(boxes).map(([name, box]) => [name, box.value])));
  });
  return form;
}

const NAME = "Name of the supervisor";

/**
 * What a supervisor enters by name while somebody works: time that was lost to a broken machine,
 * and a break, in which the clock stands and the paper is closed.
 * @param {string} id
 * @param {(command: string, given: Record<string, string>) => void} send
 */
export function supervisorForms(id, send) {
  const lost = {
    minutes: textBox(`${id}-lost`, { inputmode: "numeric", size: "4" }),
    by: person(`${id}-lost-by`),
    reason: person(`${id}-lost-reason`),
  };
  const pause = { by: person(`${id}-break-by`), reason: person(`${id}-break-reason`) };
  const labels = { minutes: "Lost minutes", by: NAME, reason: "Reason" };
  return make(
    "details",
    { class: "tl-supervisor" },
    make("summary", {}, "For the supervisor: a break, or lost time"),
    make("p", { class: "tl-small" }, "In a break the clock stands and the paper is closed."),
    entry("Begin a break", pause, labels, (given) => send("break", given)),
    make("p", { class: "tl-small" }, "Time that was lost to a machine: the clock runs longer."),
    entry("Give the time back", lost, labels, (given) => send("lost_time", given)),
  );
}

/**
 * The desk in a break: only a supervisor goes on from here.
 * @param {string} id
 * @param {string} words
 * @param {(given: Record<string, string>) => void} send
 */
export function breakForm(id, words, send) {
  return make(
    "div",
    { class: "tl-supervisor" },
    make("p", { class: "tl-title" }, "Break"),
    make("p", {}, words),
    entry("End the break", { by: person(`${id}-resume-by`) }, { by: NAME }, send),
  );
}
