// Tables: a caption for the ear, heads of columns if there are any, and rows whose first cell heads
// them.

import { make } from "./make.js";

/**
 * @param {string} caption
 * @param {any[][]} rows
 * @param {string[]} head
 * @param {string} look class of the caption
 */
export function table(caption, rows, head = [], look = "tl-hidden") {
  const cell = (value, i) => make(i ? "td" : "th", i ? {} : { scope: "row" }, String(value));
  const titles = head.map((words) => make("th", { scope: "col" }, words));
  return make(
    "table",
    {},
    make("caption", { class: look }, caption),
    ...(head.length ? [make("thead", {}, make("tr", {}, ...titles))] : []),
    make("tbody", {}, ...rows.map((row) => make("tr", {}, ...row.map(cell)))),
  );
}
