// The big screen: a panel fills it in letters that a hall can read (pictures.js), one picture at a
// time, a sentence above and one line of controls below. A presenter's remote goes through the
// steps of a demonstration, which the computation keeps (panels/presenter.py).

import { BigLine } from "./big_line.js";
import { phaseRows, wiringRows } from "./big_list.js";
import { Stage } from "./big_stage.js";
import { Steps } from "./big_steps.js";
import { Caller } from "./caller.js";
import { LEGEND_SHARE } from "./charts.js";
import { make, say } from "./make.js";
import { only, picturesOf, spanOf } from "./pictures.js";
import { LOW_ROAD } from "./scene.js";

/** Keys of a presenter's remote, and of a keyboard: which way in the demonstration. */
const STEPS = { PageDown: 1, PageUp: -1, ArrowRight: 1, ArrowLeft: -1, Home: -Infinity };
const PICTURES = { ArrowDown: 1, ArrowUp: -1 };
const LEGEND = 0.5; // most of the width for a legend
const LEAST_ROAD = 90; // px of height, where the window is low
// Share of the width that the list beside it leaves to a drawing.
const CIRCUIT = 0.57, WIRING = 0.5;

export class BigScreen {
  /** @param {any} panel of panel.js */
  constructor(panel) {
    this.panel = panel;
    this.stage = null;
    this.picture = "";
    this.steps = new Steps((message) => {
      if (message.kind === "step") panel.clock.pause();
      this.send(message);
    });
    const { root, body, side, main } = panel.frame;
    this.list = make("ul", { class: "tl-big-list" });
    main.append(this.list);
    this.words = make("p", { class: "tl-big-words" });
    this.line = new BigLine(panel, this);
    body.before(this.words);
    body.after(this.line.node);
    side.append(this.line.more);
    const tell = (words) => this.line.tell(words);
    this.caller = new Caller(panel.model, root, (words) => {
      this.steps.lost();
      tell(words);
    }, tell);
    panel.frame.big.addEventListener("click", () => this.open());
    root.addEventListener("keydown", (event) => {
      const plain = !event.ctrlKey && !event.metaKey && !event.altKey && !this.on;
      if (plain && event.key.toLowerCase() === "p" && !typing(event.target)) {
        panel.frame.big.click();
      }
    });
    this.stage = new Stage(root, {
      key: (event) => this.key(event),
      size: () => {},
      close: () => this.close(),
    });
  }

  get on() {
    return this.stage.on;
  }

  async open() {
    const { frame: { big }, model } = this.panel;
    if (this.on || model.get("locked")) return;
    await this.stage.open(big);
    this.show(this.picture);
    this.steps.look();
  }

  close() {
    if (!this.on) return;
    this.line.fold(true);
    this.stage.close();
    const { clock, layout: { pictures: { car, circuit, wiring, charts, phases } } } = this.panel;
    circuit.bare = wiring.bare = null;
    car.low = LOW_ROAD;
    charts.legendShare = LEGEND_SHARE;
    phases.bare = false;
    clock.pause();
    this.panel.present();
  }

  /** The part of a view that is shown. */
  part(shown) {
    return this.on ? only(shown, this.picture) : shown;
  }

  /** Show a picture by its name, or the first one where there is none of that name. */
  show(name) {
    const names = picturesOf(this.panel.shown).map(([one]) => one);
    this.picture = names.includes(name) ? name : names[0];
    this.panel.frame.root.dataset.picture = this.picture;
    this.panel.present();
  }

  /** @param {number} by so many pictures on */
  turn(by) {
    const names = picturesOf(this.panel.shown).map(([one]) => one), { length } = names;
    this.show(names[(names.indexOf(this.picture) + by + length) % length]);
  }

  /** Give the picture the room between sentence and line. */
  fit(shown) {
    const { frame: { main, body }, layout: { pictures }, clock } = this.panel;
    const { car, circuit, wiring, closeup, charts, phases, reasons, lanes } = pictures;
    const wide = main.clientWidth, tall = body.clientHeight;
    if (!shown || !wide) return;
    main.classList.remove("tl-beside", "tl-roomy");
    car.brief = phases.bare = true;
    car.low = Math.max(LEAST_ROAD, tall - 30);
    for (const picture of [car, closeup, charts, lanes]) picture.width = wide;
    circuit.bare = { wide: CIRCUIT * wide, tall };
    wiring.bare = { wide: WIRING * wide, tall };
    circuit.width = wiring.width = wide;
    charts.tall = tall;
    charts.legendLeast = 0;
    charts.legendShare = LEGEND;
    charts.arrange();
    const [low, high] = spanOf(shown) ?? [0, 1];
    phases.arrange(wide, { left: 4, width: 0.6 * wide, names: 0.6 * wide + 12, low, high });
    wiring.paint();
    lanes.plot = null;
    lanes.paint();
    reasons.arrange();
    if (clock.span) clock.go(clock.time, false);
    else charts.paintOver();
    this.line.refresh();
    if (body.clientHeight !== tall) return this.fit(shown); // the line has taken a second row
    this.tick();
  }

  send(message) {
    this.caller.send(message);
  }

  /** Go to a step of the demonstration. */
  step(by) {
    if (!this.steps.go(by)) this.line.tell("No demonstration for this panel yet.");
  }

  /** A picture has come, perhaps as a step. */
  arrived({ step }) {
    if (!this.on || !this.steps.arrived(step)) return;
    const { clock } = this.panel;
    this.words.replaceChildren(
      make("strong", {}, /[.?!]$/.test(step.name) ? step.name : `${step.name}.`),
      ` ${step.sentence.replace(/(\d) (?=\S)/g, "$1\u00a0")}`,
    );
    this.show(step.picture || this.picture);
    if (step.time !== null && clock.span) clock.go(step.time);
    if (step.speed && clock.span) {
      clock.speed.value = String(step.speed);
      clock.play();
    }
  }

  /** The computation has answered. */
  heard(answer) {
    this.caller.answered();
    if (answer.count !== undefined) this.line.owned = answer.owned;
    this.line.tell(answer.wrong ?? answer.said ?? "");
    this.steps.heard(answer);
    this.line.refresh();
  }

  /** Steps of the course (false) or the presenter's own (true). */
  choose(own) {
    this.steps.look(own);
  }

  record(sentence) {
    const { clock } = this.panel, timed = Boolean(clock.span);
    const time = timed ? clock.time : null, speed = timed ? Number(clock.speed.value) : 0;
    const plays = clock.playing ? speed : 0;
    this.send({ kind: "record", sentence, picture: this.picture, time, speed: plays });
  }

  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const { key, target } = event,
      { clock } = this.panel,
      { stage } = this,
      letter = key.toLowerCase();
    const inField = typing(target), arrow = key.startsWith("Arrow");
    let act = null;
    if (key === "Escape") {
      act = () => {
        if (stage.dark) stage.darken(false);
        else if (!this.line.folded) this.line.fold(true);
        else this.close();
      };
    } else if (key in STEPS && !(inField && (arrow || key === "Home"))) {
      act = () => stage.dark ? stage.darken(false) : this.step(STEPS[key]);
    } else if (inField) return;
    else if (letter === "b" || letter === ".") act = () => stage.darken(!stage.dark);
    else if (key in PICTURES) act = () => this.turn(PICTURES[key]);
    else if (key === " " && target.tagName !== "BUTTON" && clock.span) {
      act = () => clock.playing ? clock.pause() : clock.play();
    }
    if (!act) return;
    event.preventDefault();
    event.stopPropagation();
    act();
  }

  /** What changes with the clock. */
  tick() {
    if (!this.on) return;
    this.line.tick();
    const { shown, circuit } = this.panel, { picture } = this;
    const rows = picture === "circuit"
      ? circuit.rows
      : picture === "wiring"
      ? wiringRows(shown.wiring, shown.figures)
      : picture === "phases" && shown.phases.legend
      ? phaseRows(shown.phases.legend)
      : [];
    const key = JSON.stringify(rows);
    if (key === this.listed) return;
    this.listed = key;
    this.list.replaceChildren(
      ...rows.map(({ letter, words }) =>
        make("li", {}, ...(letter ? [make("b", {}, letter), " "] : []), words)
      ),
    );
  }

  title() {
    if (this.steps.at < 0) say(this.words, this.panel.model.get("title"));
  }

  stop() {
    this.close();
    this.caller.answered();
  }
}

/** Does this element take letters and arrows for itself? */
function typing(node) {
  return Boolean(node?.closest?.("input, select, textarea"));
}
