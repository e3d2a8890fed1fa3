// The end of the desk's page: hand in, and the supervisor's way to give lost time back.

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

/**
 * Time that was lost to a broken machine: the supervisor enters it here, by name.
 * @param {string} id
 * @param {(given: {minutes: string, by: string, reason: string}) => void} send
 */
export function lostTimeForm(id, send) {
  const minutes = textBox(`${id}-lost`, { inputmode: "numeric", size: "4" });
  const by = textBox(`${id}-lost-by`, { inputmode: null, maxlength: "200" });
  const reason = textBox(`${id}-lost-reason`, { inputmode: null, maxlength: "200" });
  const form = make(
    "form",
    {},
    labelled("Lost minutes", minutes, "tl-option"),
    labelled("Name of the supervisor", by, "tl-option"),
    labelled("Reason", reason, "tl-option"),
    make("button", { type: "submit" }, "Give the time back"),
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    send({ minutes: minutes.value, by: by.value, reason: reason.value });
  });
  return make(
    "details",
    { class: "tl-supervisor" },
    make("summary", {}, "For the supervisor: give lost time back"),
    form,
  );
}
