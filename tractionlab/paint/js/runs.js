// My runs: the runs that the learner keeps, as rows of a small table with what differs between them
// and their figures; below them the run that is shown. It takes the place of the car while it is
// open.

import { make } from "./make.js";

const FIGURES = 3; // the first ones, so that the table fits beside the controls

/**
 * A setting in words.
 * @param {Object<string, any>} spec of the control @param {any} value
 */
export function settingWords(spec, value) {
  if (spec.kind === "Choice") {
    return spec.options.find(([key]) => key === value)?.[1] ?? String(value);
  }
  if (spec.kind === "Switch") return value ? "on" : "off";
  return `${value} ${spec.unit}`.trim();
}

/**
 * For each set of values, in words, what is not the same in all of them.
 * @param {Object<string, any>[]} specs of the controls @param {Object<string, any>[]} all
 */
export function differing(specs, all) {
  const there = (spec, values) => !spec.when?.length || values[spec.when[0]] === spec.when[1];
  const others = specs.filter((spec) =>
    all.some((values) =>
      values[spec.name] !== all[0][spec.name] || there(spec, values) !== there(spec, all[0])
    )
  );
  return all.map((values) =>
    others.filter((spec) => there(spec, values)).map((spec) =>
      `${spec.label} ${settingWords(spec, values[spec.name])}`
    ).join("; ")
  );
}

export class RunsTable {
  /**
   * @param {HTMLElement} host @param {Object<string, any>[]} specs of the controls
   * @param {(values: Object<string, any>) => void} setAgain
   * @param {(letter: string) => void} remove
   */
  constructor(host, specs, setAgain, remove) {
    this.host = host;
    this.specs = specs;
    this.setAgain = setAgain;
    this.remove = remove;
    this.state = "";
  }

  /**
   * @param {Object<string, any>[]} kept
   * @param {Object<string, any>} values of the run that is shown
   * @param {{label: string, value: string, unit: string, held: boolean}[]} figures its figures
   * @param {boolean} holds true while figures that are to be found stay hidden
   */
  show(kept, values, figures, holds) {
    const heads = figures.slice(0, FIGURES);
    /** @type {{letter: string, values: Object<string, any>, figures: any[]}[]} */
    const rows = kept.map(({ letter, values, figures }) => ({
      letter,
      values,
      figures: figures.map(([label, value, unit, held]) => ({ label, value, unit, held })),
    }));
    rows.push({ letter: "", values, figures });
    const state = JSON.stringify([rows, holds]);
    if (state === this.state) return;
    this.state = state;
    const words = differing(this.specs, rows.map((row) => row.values));
    const title = (text, look = "") => make("th", { scope: "col", class: look }, text);
    this.host.replaceChildren(make(
      "table",
      {},
      make("caption", {}, "My runs: the pale lines with their letters"),
      make(
        "thead",
        {},
        make(
          "tr",
          {},
          title("Run"),
          title("What differs"),
          ...heads.map(({ label }) => title(label, "tl-figure")),
          make("td", {}),
        ),
      ),
      make("tbody", {}, ...rows.map((row, i) => this.row(row, words[i], heads, holds))),
    ));
  }

  row({ letter, values, figures }, words, heads, holds) {
    const button = (said, more, act) => {
      const made = make("button", { type: "button", "aria-label": `${more} ${letter}` }, said);
      made.addEventListener("click", act);
      return made;
    };
    const cells = heads.map(({ label }) => {
      const found = figures.find((figure) => figure.label === label);
      if (!found) return make("td", {}, "\u2013");
      const text = found.held && holds ? "to find" : `${found.value} ${found.unit}`.trim();
      return make("td", { class: "tl-number" }, text.replace(/^-/, "\u2212"));
    });
    const acts = letter
      ? [
        button("Set again", "Set again what was set in run", () => this.setAgain(values)),
        button("Remove", "Remove run", () => this.remove(letter)),
      ]
      : [];
    return make(
      "tr",
      letter ? {} : { class: "tl-shown-run" },
      make("th", { scope: "row" }, letter || "now"),
      make("td", {}, words || "nothing"),
      ...cells,
      make("td", { class: "tl-acts" }, ...acts),
    );
  }
}
