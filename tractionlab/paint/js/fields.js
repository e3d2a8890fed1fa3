// Fields: an input with its visible label, one builder for each kind; every form of the course is
// made of these.

import { make } from "./make.js";

/**
 * The label of an input that has an id.
 * @param {Element} input
 * @param {...(Node | string)} words
 */
export function labelFor(input, ...words) {
  return make("label", { for: input.id }, ...words);
}

/**
 * A label, then the input, or `parts` that hold it.
 * @param {Node | string} words
 * @param {Element} input
 * @param {string} look class of the whole
 * @param {...Node} parts
 */
export function labelled(words, input, look = "tl-field", ...parts) {
  return make("div", { class: look }, labelFor(input, words), ...(parts.length ? parts : [input]));
}

/**
 * A box to tick, or one of several to choose, before its label.
 * @param {string} words
 * @param {HTMLInputElement} input
 */
export function ticked(words, input, look = "tl-option") {
  return make("div", { class: look }, input, labelFor(input, words));
}

/**
 * A list to open.
 * @param {[string | number, string][]} pairs value and words of each entry
 * @param {Object<string, any>} attributes
 */
export function list(pairs, attributes = {}) {
  const entries = pairs.map(([value, words]) => make("option", { value }, words));
  return make("select", attributes, ...entries);
}

/**
 * A group of which one is chosen.
 * @param {string} words
 * @param {string} id begin of the names on the page
 * @param {[string, string][]} pairs value and words of each
 */
export function group(words, id, pairs, attributes = {}) {
  const radios = pairs.map(([value], i) =>
    make("input", { type: "radio", name: id, value, id: `${id}-${i}` })
  );
  const rows = radios.map((radio, i) => ticked(pairs[i][1], radio));
  return { node: make("fieldset", attributes, make("legend", {}, words), ...rows), radios };
}

/** A box for a number or a line of text. */
export function textBox(id, attributes = {}) {
  const plain = { type: "text", inputmode: "decimal", autocomplete: "off", id };
  return make("input", { ...plain, ...attributes });
}

/** A unit behind its box for the eye, and in the label for the ear. */
export function unitOf(unit, attributes = {}) {
  return {
    seen: make("span", { class: "tl-unit", "aria-hidden": "true", ...attributes }, unit),
    heard: make("span", { class: "tl-hidden" }, unit ? ` in ${unit}` : ""),
  };
}

/** Where the judgement of a field stands. */
export const saidBelow = (id, attributes = {}) =>
  make("p", { class: "tl-said", id: `${id}-said`, ...attributes });

/**
 * Calls `save` half a second after the last keystroke, and at once when the field is left.
 * @param {HTMLInputElement} input
 * @param {() => void} save
 */
export function whenTyped(input, save) {
  let timer = null, last = null;
  const now = () => {
    clearTimeout(timer);
    if (input.value !== last) {
      last = input.value;
      save();
    }
  };
  input.addEventListener("focus", () => last = input.value);
  input.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(now, 500);
  });
  input.addEventListener("change", now);
}
