// What somebody has tried at a panel, held against what a task asks to be tried
// (data/observations): settings of the panel, "runs", of which a learner need not meet each.

const CLOSE = 0.1; // a number within a tenth of the one meant is as good

/** @param {any} value @param {any} meant */
function close(value, meant) {
  if (typeof meant === "number" && typeof value === "number") {
    return Math.abs(value - meant) <= CLOSE * Math.abs(meant) + 1e-9;
  }
  return JSON.stringify(value) === JSON.stringify(meant);
}

export class Tried {
  /** @param {Object<string, any>[]} runs settings to be tried: { control: value }, part of all */
  constructor(runs) {
    this.runs = runs;
    this.forget();
  }

  forget() {
    this.met = new Set();
  }

  /**
   * The panel shows these values.
   * @param {Object<string, any>} values
   * @returns {boolean} true once more than half of the runs have been met
   */
  see(values) {
    this.runs.forEach((run, place) => {
      const same = Object.entries(run).every(([name, meant]) => close(values[name], meant));
      if (same) this.met.add(place);
    });
    return this.met.size > this.runs.length / 2;
  }
}
