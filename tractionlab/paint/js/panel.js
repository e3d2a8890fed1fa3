// Panel: puts title, sentence, controls, car, charts, clock and notes together and keeps them up to date.

// A circuit and its car stand side by side from BESIDE on; from ROOMY on the time and the charts stand beside the circuit too. Alone it is at most ALONE wide.
const BESIDE = 790, ROOMY = 960, ALONE = 720;

function render({ model, el }) {
  const titleId = freshName();
  const button = (words) => make("button", { type: "button" }, words);
  const undo = button("Undo"), reset = button("Reset"), print = button("Print this"), value = button("Show the value");
  const sentence = make("p", { class: "tl-sentence" });
  const controlBox = make("div", { class: "tl-controls" });
  const figures = make("dl", { class: "tl-figures" });
  const carBox = make("div", { class: "tl-car" });
  const circuitBox = make("div", { class: "tl-circuit" });
  const wiringBox = make("div", { class: "tl-wiring" });
  const clockBox = make("div", { class: "tl-transport", role: "group", "aria-label": "Time of the run" });
  const chartBox = make("div", { class: "tl-charts" });
  const note = make("p", { class: "tl-note" });
  const voice = make("p", { class: "tl-voice", role: "status", "aria-live": "polite" });
  const side = make("div", { class: "tl-side" }, controlBox, figures);
  const main = make("div", { class: "tl-main" }, make("div", { class: "tl-stage" }, carBox, circuitBox, wiringBox), clockBox, chartBox);
  const body = make("div", { class: "tl-body" }, sentence, make("div", { class: "tl-columns" }, side, main));
  const lock = make("div", { class: "tl-lock" });
  const root = make("section", { class: "tl-panel", "aria-labelledby": titleId },
    make("header", {}, make("div", { class: "tl-title", id: titleId, role: "heading", "aria-level": "3" }, model.get("title")), note, make("div", { class: "tl-buttons" }, value, undo, reset, print)),
    lock, body, voice);
  el.append(root);

  // Unmodified keys belong to the panel, not to the notebook.
  root.addEventListener("keydown", (event) => { if (!event.ctrlKey && !event.metaKey && !event.altKey) event.stopPropagation(); });

  let waiting = null;
  const sayLater = (text, wait) => { clearTimeout(waiting); waiting = setTimeout(() => { voice.textContent = text; }, wait); };
  const tell = (text, wrong = false) => {
    note.textContent = voice.textContent = text;
    note.classList.toggle("tl-error", wrong);
  };

  const car = new CarPicture(carBox);
  const circuit = new CircuitPicture(circuitBox);
  const wiring = new WiringPicture(wiringBox, (point) => {
    const { probes } = controls.values, letters = shown.wiring.letters, next = letters.includes(probes.next) ? probes.next : letters[0];
    controls.change({ probes: { ...probes, [next]: point, next: letters[(letters.indexOf(next) + 1) % letters.length] } });
  }, (plug) => {
    const { pulled } = controls.values;
    controls.change({ pulled: pulled.includes(plug) ? pulled.filter((key) => key !== plug) : [...pulled, plug] });
  });
  const charts = new Charts(chartBox, (time) => { clock.pause(); clock.go(time); });
  const clock = new Transport(clockBox, (time, dt) => {
    if (!shown) return;
    car.paint(time, clock.playing, dt);
    circuit.paint(time, clock.playing);
    charts.cursor(time);
    root.dataset.time = time.toFixed(3);
    root.dataset.frames = Number(root.dataset.frames || 0) + 1;
  }, () => sayLater(`${clock.time.toFixed(2)} seconds. ${shown.circuit ? circuit.read() : charts.read(clock.time)}`, 400));

  const unanswered = (words) => {
    controls.back(model.get("picture").values);
    refreshButtons();
    tell(words, true);
  };
  const asker = new Asker(model, root, unanswered, tell);
  const printer = new Caller(model, root, (words) => tell(words, true), tell);
  const controls = new Controls(controlBox, model.get("controls"), model.get("picture").values || {}, () => {
    note.textContent = "";
    asker.ask(controls.values);
    refreshButtons();
  }, tell);
  const refreshButtons = () => { undo.disabled = !controls.changed; };
  undo.addEventListener("click", () => { controls.undo(); refreshButtons(); });
  reset.addEventListener("click", () => { controls.reset(); refreshButtons(); });
  print.addEventListener("click", () => { tell("Printing ..."); printer.send({ kind: "print", time: clock.time }); });
  if (!model.get("controls").length) { undo.hidden = reset.hidden = true; root.classList.add("tl-bare"); }

  let shown = null;
  let block = null;
  let figureLabels = null;
  let moment = 0;
  const draw = (picture) => {
    if (model.get("block") !== block || !shown || picture.sentence !== shown.sentence || picture.wiring) {
      block = model.get("block");
      shown = unpack(picture, block);
    }
    showWords();
    car.set(shown.scenes);
    circuit.set(shown.circuit, model.get("drawing"));
    wiring.set(shown.wiring, model.get("drawing"));
    controls.tell(shown.wiring);
    root.classList.toggle("tl-wide", Boolean(circuit.span || shown.wiring || controlBox.querySelector(".tl-long")));
    charts.set(shown.charts);
    clock.setSpan(car.span || circuit.span || charts.span);
    if (!clock.span) charts.paintOver();
    if (shown.circuit && shown.circuit.moment !== moment && !clock.playing) clock.go(moment = shown.circuit.moment, false);
  };
  // What the learner shall find first stays out of the words until it is asked for, after a control was moved.
  const holds = () => !model.get("told") && (shown.held.length > 0 || shown.figures.some((figure) => figure.held));
  const openWords = () => (holds() ? shown.held.reduce((words, piece) => words.replace(piece, ""), shown.sentence) : shown.sentence);
  const showWords = () => {
    const words = openWords();
    if (sentence.textContent !== words) sentence.textContent = words;
    value.hidden = !holds();
    showFigures(shown.figures.map((figure) => (figure.held && holds() ? { ...figure, value: "yours to find", unit: "" } : figure)));
  };
  value.addEventListener("click", () => {
    if (!controls.changed && !model.get("tried")) return tell("Move a control first, and find it yourself.");
    model.set("told", true);
    model.save_changes();
    print.focus();
    showWords();
    tell("");
    sayLater(shown.sentence, 0);
  });
  const showFigures = (list) => {
    const labels = list.map((f) => f.label).join("\n");
    if (labels !== figureLabels) {
      figureLabels = labels;
      figures.replaceChildren(...list.map((f) => make("div", {}, make("dt", {}, f.label), make("dd"))));
      figures.hidden = !list.length;
    }
    figures.querySelectorAll("dd").forEach((dd, i) => { dd.textContent = `${list[i].value} ${list[i].unit}`.trim().replace(/^-/, "\u2212"); });
  };
  const arrive = () => {
    const picture = model.get("picture");
    const mine = asker.arrived(picture.answer);
    if (picture.error) {
      tell(`${picture.error} The picture still shows the values before.`, true);
    } else {
      if (note.classList.contains("tl-error") || note.textContent === AT_WORK) tell("");
      draw(picture);
      if (mine && picture.quick) asker.askWhole(picture.values);
      if (!mine && !asker.busy) { controls.accept(picture.values); refreshButtons(); }
      sayLater(openWords(), 900);
    }
    root.dataset.values = JSON.stringify(picture.values);
    root.dataset.pictures = Number(root.dataset.pictures || 0) + 1;
  };

  // The figures stand under the controls, or under the charts when the controls are many.
  const placeFigures = () => {
    const room = car.height + circuit.height + wiring.height + (clock.span ? 36 : 0) + (charts.height || 0);
    const home = main.classList.contains("tl-roomy") ? main : !controlBox.childElementCount || controlBox.offsetHeight + 20 + 21 * figures.childElementCount <= room + 20 ? side : main;
    if (figures.parentElement !== home) home.append(figures);
  };
  const fit = () => {
    const width = main.clientWidth;
    if (!shown || !width) return;
    car.width = circuit.width = wiring.width = charts.width = width;
    wiring.paint();
    const roomy = circuit.span && width >= ROOMY, beside = roomy || (car.span && circuit.span && width >= BESIDE);
    main.classList.toggle("tl-beside", Boolean(beside));
    main.classList.toggle("tl-roomy", Boolean(roomy));
    car.brief = Boolean(roomy);
    if (beside) {
      circuit.width = Math.max(circuit.leastWidth, Math.floor(0.56 * width));
      car.width = width - circuit.width - 16;
    }
    else if (circuit.span) circuit.width = Math.min(width, ALONE);
    if (roomy) charts.width = car.width;
    placeFigures();
    charts.tall = roomy ? circuit.height - car.height - clockBox.offsetHeight - figures.offsetHeight - 12 : car.span || circuit.span || shown.wiring ? 250 : 380;
    charts.arrange();
    placeFigures();
    if (clock.span) clock.go(clock.time, false); else charts.paintOver();
  };
  const watch = new ResizeObserver(fit);
  watch.observe(root);

  const guard = () => {
    const locked = model.get("locked");
    const question = model.get("question");
    lock.replaceChildren(make("p", {}, make("strong", {}, "Write down your prediction first")), ...(question ? [make("p", {}, question)] : []));
    lock.hidden = !locked;
    body.hidden = locked;
    undo.disabled = reset.disabled = print.disabled = locked;
    if (!locked) { refreshButtons(); fit(); }
  };
  const unlock = () => { guard(); if (!model.get("locked")) tell("The picture is open now."); };
  const heard = (message) => {
    if (message.kind !== "said") return;
    printer.answered();
    tell(message.text);
  };

  draw(model.get("picture"));
  if (model.get("picture").quick) asker.askWhole(controls.values);
  root.dataset.pictures = 1;
  guard();
  model.on("change:picture", arrive);
  model.on("change:locked", unlock);
  model.on("msg:custom", heard);
  return () => {
    watch.disconnect();
    clock.pause();
    asker.stop();
    printer.answered();
    clearTimeout(waiting);
    model.off("change:picture", arrive);
    model.off("change:locked", unlock);
    model.off("msg:custom", heard);
  };
}

export default { render };
