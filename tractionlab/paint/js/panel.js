// Panel: puts title, sentence, controls, car, charts, clock and notes together and keeps them up to
// date.

import { BigScreen } from "./big_screen.js";
import { AT_WORK, Caller } from "./caller.js";
import { Charts } from "./charts.js";
import { CircuitPicture } from "./circuit.js";
import { CloseupPicture } from "./closeup.js";
import { Controls } from "./controls.js";
import { LanesPicture } from "./lanes.js";
import { make, say } from "./make.js";
import { MyRuns } from "./my_runs.js";
import { frameOf } from "./panel_frame.js";
import { Layout } from "./panel_layout.js";
import { Words } from "./panel_words.js";
import { PhasesPicture } from "./phases.js";
import { spanOf } from "./pictures.js";
import { Reasons } from "./reasons.js";
import { CarPicture } from "./scene.js";
import { Transport } from "./transport.js";
import { Asker, unpack } from "./wire.js";
import { WiringPicture } from "./wiring.js";

class Panel {
  constructor(model, el) {
    this.model = model;
    this.shown = null;
    this.block = null;
    this.moment = 0;
    const frame = this.frame = frameOf(model.get("title"));
    this.words = new Words(model, frame);
    el.append(frame.root);
    // Unmodified keys belong to the panel, not to the notebook.
    frame.root.addEventListener("keydown", (event) => {
      if (!event.ctrlKey && !event.metaKey && !event.altKey) event.stopPropagation();
    });
    this.makePictures();
    this.makeControls();
    this.runs = new MyRuns(this);
    this.big = new BigScreen(this);
    this.watch = new ResizeObserver(() => this.fit());
    this.watch.observe(frame.root);
    this.draw(model.get("picture"));
    if (model.get("picture").quick) this.asker.askWhole(this.controls.values);
    frame.root.dataset.pictures = "1";
    this.guard();
  }

  makePictures() {
    const { frame, words } = this;
    this.car = new CarPicture(frame.car);
    this.circuit = new CircuitPicture(frame.circuit);
    this.wiring = new WiringPicture(
      frame.wiring,
      (point) => this.putProbe(point),
      (plug) => this.pull(plug),
    );
    this.closeup = new CloseupPicture(frame.closeup);
    const go = (time) => {
      this.clock.pause();
      this.clock.go(time);
    };
    this.charts = new Charts(frame.charts, go);
    this.phases = new PhasesPicture(frame.phases, go);
    this.reasons = new Reasons(frame.reasons, go, (text) => words.sayLater(text, 0));
    this.clock = new Transport(frame.clock, (time, dt) => this.turnTo(time, dt), () => {
      const { time, spoken } = this.clock, read = this.shown.circuit ? this.circuit : this.charts;
      const near = this.closeup.read(time);
      words.sayLater(
        [spoken, near, read.read(time), this.lanes.read(time)].filter(Boolean).join(". "),
        400,
      );
    });
    this.lanes = new LanesPicture(frame.lanes);
    const { car, circuit, wiring, closeup, charts, phases, reasons, lanes, clock } = this;
    const pictures = { car, circuit, wiring, closeup, charts, phases, reasons, lanes, clock };
    this.layout = new Layout(frame, pictures);
  }

  makeControls() {
    const { model, frame, words } = this, { root } = frame;
    const tell = (text, wrong) => words.tell(text, wrong);
    this.asker = new Asker(model, root, (text) => {
      this.controls.back(model.get("picture").values);
      this.refreshButtons();
      tell(text, true);
    }, tell);
    this.printer = new Caller(model, root, (text) => tell(text, true), tell);
    const start = model.get("picture").values || {};
    this.controls = new Controls(frame.controls, model.get("controls"), start, () => {
      say(frame.note, "");
      this.asker.ask(this.controls.values);
      this.refreshButtons();
    }, tell);
    const press = (button, act) => button.addEventListener("click", act);
    press(frame.undo, () => {
      this.controls.undo();
      this.refreshButtons();
    });
    press(frame.redo, () => {
      this.controls.redo();
      this.refreshButtons();
    });
    press(frame.reset, () => {
      this.charts.forget();
      this.controls.reset();
      this.draw(model.get("picture"));
      this.refreshButtons();
    });
    press(frame.print, () => {
      tell("Printing ...");
      this.printer.send({ kind: "print", time: this.clock.time });
    });
    press(frame.value, () => {
      if (this.controls.changed || model.get("tried")) words.reveal();
      else tell("Move a control first, and find it yourself.");
    });
    if (!model.get("controls").length) {
      frame.undo.hidden = frame.redo.hidden = frame.reset.hidden = true;
      root.classList.add("tl-bare");
    }
  }

  // The next probe goes on a point of the diagram.
  putProbe(point) {
    const { probes } = this.controls.values, { letters } = this.shown.wiring;
    const next = letters.includes(probes.next) ? probes.next : letters[0];
    const after = letters[(letters.indexOf(next) + 1) % letters.length];
    this.controls.change({ probes: { ...probes, [next]: point, next: after } });
  }

  // A plug comes off, or goes on again.
  pull(plug) {
    const { pulled } = this.controls.values;
    const without = pulled.filter((key) => key !== plug);
    this.controls.change({ pulled: pulled.includes(plug) ? without : [...pulled, plug] });
  }

  turnTo(time, dt) {
    if (!this.shown) return;
    const { dataset } = this.frame.root;
    this.car.paint(time, this.clock.playing, dt);
    this.circuit.paint(time, this.clock.playing);
    this.closeup.paint(time);
    this.charts.cursor(time);
    for (const rows of [this.phases, this.reasons]) rows.cursor(time);
    this.lanes.cursor(time, this.clock.playing);
    this.big.tick();
    dataset.time = time.toFixed(3);
    dataset.frames = String(Number(dataset.frames || 0) + 1);
  }

  refreshButtons() {
    this.frame.undo.disabled = !this.controls.changed;
    this.frame.redo.disabled = !this.controls.future.length;
  }

  draw(picture) {
    const { model, clock } = this, block = model.get("block");
    const same = this.shown && picture.sentence === this.shown.sentence && !picture.wiring;
    if (block !== this.block || !same) {
      this.block = block;
      this.shown = unpack(picture, block);
    }
    this.present();
    const { circuit } = this.shown;
    if (circuit && circuit.moment !== this.moment && !clock.playing) {
      clock.go(this.moment = circuit.moment, false);
    }
  }

  // Put the view into its pictures, on the big screen one of them.
  present() {
    const { model, clock, big } = this, shown = big.part(this.shown);
    this.words.show(shown);
    this.car.set(shown.scenes);
    this.circuit.set(shown.circuit, model.get("drawing"));
    this.wiring.set(shown.wiring, model.get("drawing"));
    this.closeup.set(shown.closeup);
    this.controls.tell(shown.wiring);
    const long = this.frame.controls.querySelector(".tl-long");
    this.frame.root.classList.toggle(
      "tl-wide",
      Boolean(this.circuit.span || shown.wiring || long),
    );
    this.charts.kept = model.get("kept");
    this.charts.set(shown.charts);
    this.runs?.show();
    this.phases.set(shown.phases);
    this.phases.arrange(this.charts.width, this.charts.timePlot);
    this.reasons.set(shown.phases);
    this.reasons.makeRoom();
    this.lanes.set(shown.lanes);
    const span = this.car.span || this.circuit.span || this.closeup.span || this.charts.span;
    clock.setSpan(big.on ? spanOf(this.shown) : span, this.shown.closeup ?? undefined);
    if (!clock.span) this.charts.paintOver();
    if (big.on) this.fit();
  }

  fit() {
    if (this.big.on) this.big.fit(this.shown);
    else this.layout.fit(this.shown);
  }

  // A picture has come, asked for here or elsewhere.
  arrive() {
    const picture = this.model.get("picture"), { words, asker } = this;
    const { note, root } = this.frame;
    const mine = asker.arrived(picture.answer);
    if (picture.error) {
      words.tell(`${picture.error} The picture still shows the values before.`, true);
    } else {
      if (note.classList.contains("tl-error") || note.textContent === AT_WORK) words.tell("");
      this.draw(picture);
      if (mine && picture.quick) asker.askWhole(picture.values);
      if (!mine && !asker.busy) {
        this.controls.accept(picture.values);
        this.refreshButtons();
      }
      words.sayLater(words.open, 900);
      this.big.arrived(picture);
    }
    root.dataset.values = JSON.stringify(picture.values);
    root.dataset.pictures = String(Number(root.dataset.pictures || 0) + 1);
  }

  // Until the prediction is written down the picture is closed.
  guard() {
    const locked = this.model.get("locked"), question = this.model.get("question");
    const { lock, body, undo, redo, reset, print, big } = this.frame;
    lock.replaceChildren(
      make("p", {}, make("strong", {}, "Write down your prediction first")),
      ...(question ? [make("p", {}, question)] : []),
    );
    lock.hidden = !locked;
    body.hidden = locked;
    for (const button of [undo, redo, reset, print, big]) button.disabled = locked;
    this.runs.show();
    if (!locked) {
      this.refreshButtons();
      this.fit();
    }
  }

  unlock() {
    this.guard();
    if (!this.model.get("locked")) this.words.tell("The picture is open now.");
  }

  hear(message) {
    if (message.kind === "presented") this.big.heard(message);
    if (message.kind !== "said") return;
    this.printer.answered();
    this.words.tell(message.text);
  }

  stop() {
    this.watch.disconnect();
    this.clock.pause();
    this.asker.stop();
    this.printer.answered();
    this.words.stop();
    this.big.stop();
  }
}

function render({ model, el }) {
  const panel = new Panel(model, el);
  const heard = [
    ["change:picture", () => panel.arrive()],
    ["change:locked", () => panel.unlock()],
    ["change:kept", () => panel.runs.arrive()],
    ["msg:custom", (message) => panel.hear(message)],
  ];
  for (const [name, act] of heard) model.on(name, act);
  return () => {
    panel.stop();
    for (const [name, act] of heard) model.off(name, act);
  };
}

export default { render };
