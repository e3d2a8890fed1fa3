// Layout of a panel: what stands beside what at which width.

import { LEAST } from "./wiring.js";

// A circuit and its car stand side by side from BESIDE on; from ROOMY on the time and the charts
// stand beside the circuit too. Alone it is at most ALONE wide.
const BESIDE = 790, ROOMY = 960, ALONE = 720;
// A wiring drawing has its controls and the display beside it from MEASURING on, and under it the
// curve. ABOVE: px of title, sentence and key; CURVE: of the curve. PINS: scale at which pins can
// be told apart.
const MEASURING = 960, ABOVE = 108, CURVE = 150, PINS = 0.68;
// Fingers need points further apart: for them the drawing takes the whole width, at this scale at
// least.
const FINGERS = globalThis.matchMedia?.("(pointer: coarse)"), APART = 1.1;
// Style of a page with the height of its window; px: least and most of charts, and what of a high
// window they leave free.
const ROOM = "--tl-room", LOW = 170, HIGH = 520, SPARE = 100;
const SEAM = 6; // px that stay free below a panel
const SMALL = 0.8; // a panel is drawn no smaller (fit.js of the page)

export class Layout {
  /**
   * @param {import("./panel_frame.js").Frame} frame
   * @param {Object<string, any>} pictures car, circuit, wiring, closeup, charts, phases,
   *   reasons, lanes, clock
   */
  constructor(frame, pictures) {
    this.frame = frame;
    this.pictures = pictures;
  }

  // The figures stand under the controls, or under the charts when the controls are many.
  placeFigures() {
    const { main, side, controls, figures } = this.frame;
    const { car, circuit, wiring, closeup, charts, phases, clock } = this.pictures;
    const room = car.height + circuit.height + wiring.height + closeup.height +
      (clock.span ? 36 : 0) +
      (charts.height || 0) + phases.height;
    const needed = controls.offsetHeight + 20 + 21 * figures.childElementCount;
    const fits = !controls.childElementCount || needed <= room + 20;
    const measuring = this.frame.root.classList.contains("tl-measuring");
    const home = !measuring && (main.classList.contains("tl-roomy") || !fits) ? main : side;
    if (figures.parentElement !== home) home.append(figures);
  }

  // Where the page says what room there is, the charts are lower, as far as they can be read, or
  // higher where much is free; true if so. What else the panel shows has been painted, and so has
  // its height.
  fitCharts() {
    const { frame: { root }, pictures: { charts } } = this;
    const over = root.offsetHeight - parseFloat(getComputedStyle(root).getPropertyValue(ROOM));
    const free = Math.max(0, -over - SPARE);
    if (!charts.height || !(over > 0 || free > 0)) return false;
    const rows = Math.max(1, Math.round(charts.height / charts.tall));
    charts.tall = over > 0
      ? Math.max(LOW, Math.floor(charts.tall - over / rows))
      : Math.max(charts.tall, Math.min(HIGH, Math.floor(charts.tall + free / rows)));
    charts.arrange();
    return true;
  }

  // Where a panel drawn as small as may be is still higher than the window, its circuit gives way;
  // true if so.
  shrinkCircuit() {
    const { frame: { root }, pictures: { circuit, clock } } = this;
    const room = parseFloat(getComputedStyle(root).getPropertyValue(ROOM));
    if (!(room && Number(root.style.zoom || 1) <= SMALL)) return false;
    if (clock.span) clock.go(clock.time, false); // so that car and circuit have their height
    const over = root.offsetHeight + SEAM - room / SMALL;
    if (!(over > 0)) return false;
    const [wide, tall] = circuit.drawing.size;
    circuit.width = Math.max(circuit.leastWidth, Math.floor(circuit.width - over * wide / tall));
    return true;
  }

  // A wiring drawing as high as the window, and beside it all that belongs to it; true if so.
  placeDrawing(shown) {
    const { frame: { root, body }, pictures: { wiring } } = this;
    const room = parseFloat(getComputedStyle(root).getPropertyValue(ROOM));
    const curve = shown?.charts.length ? CURVE + 8 : 0;
    const coarse = FINGERS?.matches;
    const measuring = Boolean(shown?.wiring && !coarse && body.clientWidth >= MEASURING);
    root.classList.toggle("tl-measuring", measuring);
    const zoom = Number(root.style.zoom || 1);
    wiring.room = measuring && room ? room / zoom - ABOVE - curve : 0;
    wiring.least = coarse ? APART : wiring.room ? PINS / zoom : LEAST;
    return measuring;
  }

  /** Give each picture of the view its width, and the charts what height is left. */
  fit(shown) {
    const { main, figures } = this.frame;
    const { car, circuit, wiring, closeup, charts, phases, reasons, lanes, clock } = this.pictures;
    const measuring = this.placeDrawing(shown);
    const width = main.clientWidth;
    if (!shown || !width) return;
    for (const picture of [car, circuit, wiring, closeup, charts, lanes]) picture.width = width;
    wiring.paint();
    charts.legendLeast = lanes.namesWidth;
    const roomy = Boolean(circuit.span && width >= ROOMY);
    const beside = roomy || Boolean(car.span && circuit.span && width >= BESIDE);
    main.classList.toggle("tl-beside", beside);
    main.classList.toggle("tl-roomy", roomy);
    car.brief = roomy;
    if (beside) {
      circuit.width = Math.max(circuit.leastWidth, Math.floor(0.56 * width));
      car.width = width - circuit.width - 16;
    } else if (circuit.span) circuit.width = Math.min(width, ALONE);
    this.placeFigures();
    const scene = car.span || circuit.span || shown.wiring || closeup.span;
    const left = () =>
      roomy
        ? circuit.height - car.height - this.frame.clock.offsetHeight - figures.offsetHeight -
          phases.height - 12
        : measuring
        ? CURVE
        : scene
        ? 250
        : 380;
    const place = () => {
      if (roomy) charts.width = car.width = width - circuit.width - 16;
      // The legend of the phases takes the rows it needs beside these charts.
      for (const _ of [1, 2]) {
        charts.tall = left();
        charts.arrange();
        phases.arrange(charts.width, charts.timePlot);
        if (charts.tall === left()) break;
      }
      reasons.arrange();
      this.placeFigures();
    };
    place();
    if (roomy && this.shrinkCircuit()) place();
    lanes.plot = charts.timePlot;
    lanes.paint();
    const paint = () => clock.span ? clock.go(clock.time, false) : charts.paintOver();
    paint();
    if (!roomy && !measuring && this.fitCharts()) paint();
  }
}
