// Frame of a panel: its elements, empty, in their places.

import { freshName, make } from "./make.js";

const button = (words) => make("button", { type: "button" }, words);
const box = (name, more = {}) => make("div", { class: name, ...more });

/** @typedef {ReturnType<typeof frameOf>} Frame */

/** @param {string} title */
export function frameOf(title) {
  const titleId = freshName();
  const undo = button("Undo"), redo = button("Redo"), reset = button("Reset");
  const print = button("Print this"), value = button("Show the value");
  const keep = button("Keep this run"), mine = button("My runs");
  const big = button("Big screen (P)");
  big.className = "tl-big-screen";
  const runs = box("tl-runs", { id: freshName() });
  mine.setAttribute("aria-controls", runs.id);
  const sentence = make("p", { class: "tl-sentence" });
  const note = make("p", { class: "tl-note" });
  const voice = make("p", { class: "tl-voice", role: "status", "aria-live": "polite" });
  const figures = make("dl", { class: "tl-figures" });
  const controls = box("tl-controls"), car = box("tl-car"), circuit = box("tl-circuit");
  const wiring = box("tl-wiring"),
    closeup = box("tl-closeup"),
    charts = box("tl-charts"),
    lock = box("tl-lock");
  const lanes = box("tl-lanes"), tables = box("tl-tables"), phases = box("tl-phases");
  const reasons = box("tl-reasons", { role: "group", "aria-label": "Decisions" });
  const clock = box("tl-transport", { role: "group", "aria-label": "Time of the run" });
  const side = make("div", { class: "tl-side" }, controls, figures);
  const stage = make("div", { class: "tl-stage" }, car, runs, circuit, wiring, closeup);
  const main = make("div", { class: "tl-main" }, stage, clock, charts, phases, lanes);
  const columns = make("div", { class: "tl-columns" }, side, main);
  const body = make("div", { class: "tl-body" }, sentence, columns, reasons, tables);
  const heading = { class: "tl-title", id: titleId, role: "heading", "aria-level": "3" };
  const buttons = make("div", { class: "tl-buttons" });
  buttons.append(value, keep, mine, undo, redo, reset, print, big);
  const root = make(
    "section",
    { class: "tl-panel", "aria-labelledby": titleId },
    make("header", {}, make("div", heading, title), note, buttons),
    lock,
    body,
    voice,
  );
  return {
    root,
    body,
    side,
    main,
    lock,
    sentence,
    note,
    voice,
    figures,
    keep,
    mine,
    runs,
    undo,
    redo,
    reset,
    print,
    big,
    value,
    controls,
    car,
    circuit,
    wiring,
    closeup,
    clock,
    charts,
    phases,
    reasons,
    lanes,
    tables,
  };
}
