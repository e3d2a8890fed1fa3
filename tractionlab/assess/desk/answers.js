// Answers of the candidate: what is typed, what is saved, and what still waits for the machine's
// word and is sent again after a break.

import { PATIENCE } from "../../paint/js/caller.js";
import { Draft } from "../../paint/js/draft.js";

/** Fields that are filled in here; a checklist is the assessor's. */
export const toFill = (item) => item.fields.filter((field) => field.kind !== "checklist");

/**
 * How much of a field is filled in: 0 nothing, 1 all of it, and something between.
 * @param {Object<string, any>} field
 * @param {any} value
 */
export function share(field, value) {
  if (value === undefined || value === null) return 0;
  if (typeof value === "string") return value.trim() ? 1 : 0;
  if (field.kind === "sketch") return value.filter((v) => v !== "").length / field.points.length;
  if (Array.isArray(value)) return value.length > 1 ? 1 : 0;
  const asked = field.kind === "states" ? field.choices : field.settings ?? [];
  return Object.keys(value).length / Math.max(1, asked.length);
}

export class Answers {
  /**
   * @param model of the widget
   * @param {() => void} whenSent something is on its way
   * @param {() => void} unanswered the machine does not answer
   */
  constructor(model, whenSent, unanswered) {
    const paper = model.get("paper");
    this.model = model;
    this.items = paper.items;
    this.whenSent = whenSent;
    this.unanswered = unanswered;
    this.given = structuredClone(model.get("face").answers ?? {});
    this.open = new Map();
    this.asks = 0;
    this.waiting = new Draft(`${paper.sitting} ${paper.candidate}`, () => sessionStorage);
  }

  /** Items that ask for something. */
  get asked() {
    return this.items.filter((item) => toFill(item).length);
  }

  /** How far an item is, in a word or two. */
  state(item) {
    const asked = toFill(item);
    const given = asked.map((field) => share(field, this.given[item.id]?.[field.name]));
    if (!asked.length) return "watched by the assessor";
    return given.every((one) => one >= 1) ? "answered" : given.some(Boolean) ? "partly" : "empty";
  }

  put(item, field, value) {
    (this.given[item] ??= {})[field] = value;
  }

  save(item, field, value) {
    this.put(item, field, value);
    const ask = ++this.asks;
    for (const [key, one] of this.open) {
      if (one.item === item && one.field === field) this.open.delete(key);
    }
    this.open.set(ask, { item, field, value });
    this.keepWaiting();
    setTimeout(() => {
      if (this.open.has(ask)) this.unanswered();
    }, PATIENCE);
    this.send({ command: "save", item, field, value, ask });
    this.whenSent();
  }

  // A lost kernel closes the line: sending then fails at once.
  send(message) {
    try {
      this.model.send(message);
    } catch {
      this.unanswered();
    }
  }

  /** The machine has the answer of this number, or refuses it; gives its item and field. */
  settled(ask) {
    const one = this.open.get(ask);
    this.open.delete(ask);
    this.keepWaiting();
    return one;
  }

  keepWaiting() {
    this.waiting.keep([...this.open.values()].map((one) => [one.item, one.field, one.value]));
  }

  /** Send again what had no answer before the page was loaded afresh. */
  sendAgain() {
    const known = (id, name) =>
      this.items.some((item) => item.id === id && item.fields.some((field) => field.name === name));
    for (const [item, field, value] of this.waiting.read() ?? []) {
      if (known(item, field)) this.save(item, field, value);
    }
  }
}
