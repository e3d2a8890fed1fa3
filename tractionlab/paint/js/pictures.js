// Pictures of a panel one by one, as the big screen shows them, and the letters that a hall reads.

// A picture WIDE across, seen from DISTANCE [m]: a capital can be read from the last row if it is
// seen under 16 minutes of arc (ISO 9241-303, from memory), which is 8 m x tan(16') = 37.2 mm. Of
// 2 m, 1920 pixels across, that is 35.7 pixels.
const DISTANCE = 8, WIDE = 2, ARC = 16 / 60 * Math.PI / 180;
// A capital is at least this share of the size of its letters (a test measures it), and no letters
// of the big screen are smaller than SMALLEST before it is magnified.
const CAPITAL = 0.68, SMALLEST = 12;

/** How many times larger a panel is drawn that fills a window `across` pixels wide. */
export function magnification(across) {
  return across * DISTANCE * Math.tan(ARC) / WIDE / CAPITAL / SMALLEST;
}

/**
 * Pictures of a view: [name, words]; the names are those of panels/demonstration.py.
 * @param {any} shown
 * @returns {[string, string][]}
 */
export function picturesOf(shown) {
  /** @type {[string, string, any][]} */
  const all = [
    ["car", "Car", shown.scenes.length],
    ["circuit", "Circuit", shown.circuit],
    ["wiring", "Wiring", shown.wiring],
    ["closeup", shown.closeup?.title, shown.closeup],
    ...shown.charts.map(({ title }) => [title, title, true]),
    ["phases", "Phases", shown.phases],
    ["reasons", "Reasons", shown.phases],
    ["lanes", "States", shown.lanes],
    ["figures", "Figures", shown.figures.length],
    ["tables", "Tables", shown.tables?.length],
    ["words", "In words", true],
  ];
  return all.filter(([, , there]) => there).map(([name, words]) => [name, words]);
}

/** The view with one of its pictures alone. */
export function only(shown, name) {
  return {
    ...shown,
    scenes: name === "car" ? shown.scenes : [],
    circuit: name === "circuit" ? shown.circuit : null,
    wiring: name === "wiring" ? shown.wiring : null,
    closeup: name === "closeup" ? shown.closeup : null,
    charts: shown.charts.filter(({ title }) => title === name),
    phases: name === "phases" || name === "reasons" ? shown.phases : null,
    lanes: name === "lanes" ? shown.lanes : null,
  };
}

/** Begin and end of a view's time, or null: panels/demonstration.py has the same. */
export function spanOf({ scenes, circuit, closeup, charts }) {
  const last = (numbers) => numbers[numbers.length - 1];
  if (scenes.length) return [0, Math.max(...scenes.map(({ time }) => last(time)))];
  if (circuit) return [circuit.time[0], last(circuit.time)];
  if (closeup) return [closeup.time[0], last(closeup.time)];
  const lines = charts.filter((chart) => chart.over_time).flatMap((chart) => chart.lines);
  if (!lines.length) return null;
  return [Math.min(...lines.map(({ x }) => x[0])), Math.max(...lines.map(({ x }) => last(x)))];
}
