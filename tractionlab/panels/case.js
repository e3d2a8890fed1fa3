// The browser's part of the workshop bench: head, sections to work in, lists, result.

import { Caller } from "../paint/js/caller.js";
import { Draft } from "../paint/js/draft.js";
import { freshName, make, say } from "../paint/js/make.js";
import { Possible, Readings, Result, TimeLine } from "./case_lists.js";
import {
  cautions,
  chooseTest,
  end,
  measureInWiring,
  record,
  repair,
  row,
  section,
} from "./case_steps.js";

const AT_WORK = "One step at a time: the one before is still at work. " +
  "Press again when it is done.";

class CaseBench {
  constructor(model, el) {
    this.model = model;
    this.id = freshName();
    this.first = model.get("words");
    this.busy = false;
    this.ended = undefined; // was the case over when it was last shown?
    this.opened = null; // the button that opened the wiring
    this.root = make("section", { class: "tl-case", "aria-labelledby": `${this.id}-title` });
    this.root.addEventListener("keydown", (event) => event.stopPropagation());
    el.append(this.root);
    this.caller = new Caller(model, this.root, (words) => {
      this.busy = false;
      this.answer(`${words} What you typed stays here.`);
    }, (words) => this.answer(words));
    this.build();
    this.show();
  }

  get face() {
    return this.model.get("face");
  }

  // One step at a time: a second click on the same button must not cost its minutes twice.
  send(command, values = {}) {
    if (this.busy) return this.answer(AT_WORK);
    this.busy = true;
    this.answer("Working \u2026");
    this.caller.send({ command, values });
  }

  // The answer is read out, and for the eye it stands below the button that was pressed.
  answer(words) {
    say(this.said, words);
    say(this.echo, words);
  }

  button(words, act, main = false) {
    const node = make("button", { type: "button", class: main ? "tl-main" : "" }, words);
    node.addEventListener("click", () => {
      node.closest(".tl-buttons")?.after(this.echo);
      act();
    });
    return node;
  }

  build() {
    const { id, first } = this;
    const button = (words, act, main) => this.button(words, act, main);
    const bench = { id, first, button, send: (command, values) => this.send(command, values) };
    this.echo = make("p", { class: "tl-echo", "aria-hidden": "true" });
    this.said = make("p", { class: "tl-hidden", role: "status" });
    this.clock = make("p", { class: "tl-clock" });
    const title = make("h3", { id: `${id}-title` }, first.title);
    this.head = make("div", { class: "tl-head", tabindex: "-1" }, title, this.clock);
    this.complaint = section(
      "The customer says",
      make("blockquote", {}, first.complaint),
      make("p", {}, `In short: ${first.symptom}.`),
    );
    this.cautions = cautions(bench);
    this.back = button("Back to the case", () => this.send("back"));
    this.wiring = make("section", { class: "tl-part" }, row(this.back));
    const draft = `note ${this.model.get("draft") || first.complaint}`;
    this.record = record(bench, new Draft(draft, () => sessionStorage));
    this.readings = new Readings();
    this.possible = new Possible(bench);
    this.line = new TimeLine();
    this.result = new Result(bench, () => {
      this.head.focus();
      this.send("again");
    });
    // Beside each other where there is room: test, then measure and repair, then what is known.
    this.toDo = [
      make("div", {}, chooseTest(bench)),
      make(
        "div",
        {},
        measureInWiring(bench, (pressed) => this.opened = pressed),
        repair(bench),
        this.record.node,
        end(bench),
      ),
    ];
    const known = [this.possible.node, this.readings.node, this.line.node];
    this.work = make(
      "div",
      { class: "tl-work" },
      ...this.toDo,
      make("div", { class: "tl-known" }, ...known),
    );
    const { head, complaint, said, echo, result, wiring, work } = this;
    this.root.append(head, complaint, said, echo, this.cautions, result.node, wiring, work);
  }

  show() {
    const now = this.face, measuring = Boolean(now.wiring);
    const changed = this.wiring.hidden === measuring;
    this.busy = false;
    this.caller.answered();
    this.clock.textContent = `${now.minutes} minutes used`;
    this.answer(now.message);
    this.cautions.hidden = now.ready;
    this.complaint.hidden = measuring;
    this.work.hidden = !now.ready || measuring;
    this.wiring.hidden = !measuring;
    if (changed) this.turn(measuring);
    for (const node of this.toDo) node.hidden = now.over;
    this.work.classList.toggle("tl-over", now.over);
    this.possible.node.hidden = !now.practice;
    this.possible.show(now.possible, now.due, now.silent);
    this.readings.show(now.taken);
    this.line.show(now.line);
    this.result.show(now.result, now.practice);
    if (now.over && this.ended === false) this.finish(now);
    if (this.ended && !now.over) this.cautions.before(this.echo);
    this.ended = now.over;
  }

  // From the case to the wiring, or back.
  turn(measuring) {
    (measuring ? this.wiring : this.cautions).before(this.echo);
    (measuring ? this.back : this.opened)?.focus();
    if (measuring) this.head.scrollIntoView({ block: "start" });
  }

  // The end folds away what was pressed: without this the page would show nothing but what comes
  // after the case.
  finish(now) {
    this.cautions.before(this.echo);
    (now.result ? this.result.node : this.head).focus({ preventScroll: true });
    this.head.scrollIntoView({ block: "start" });
  }
}

function render({ model, el }) {
  const bench = new CaseBench(model, el);
  const show = () => bench.show();
  const heard = ({ kind, text }) => {
    if (kind === "noted") bench.record.noted(text);
  };
  model.on("change:face", show);
  model.on("msg:custom", heard);
  return () => {
    bench.caller.answered();
    model.off("change:face", show);
    model.off("msg:custom", heard);
  };
}

export default { render };
