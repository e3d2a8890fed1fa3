// The candidate's desk: head with clock and progress, the work, hand in.

import { Caller, wayOn } from "../../paint/js/caller.js";
import { freshName, make, say } from "../../paint/js/make.js";
import { Answers } from "./answers.js";
import { breakForm, handInForm, supervisorForms } from "./hand_in.js";
import { Strip } from "./strip.js";
import { Work } from "./work.js";

const status = (name) => make("p", { class: name, role: "status" });

class Desk {
  constructor(model, el) {
    this.model = model;
    this.paper = model.get("paper");
    this.id = freshName();
    this.phase = "";
    this.endsAt = 0;
    this.stands = 0; // seconds left in a break
    this.called = null; // minutes left that were last called out
    this.buildFrame(el);
    this.answers = new Answers(model, () => {
      say(this.saved, "Saving \u2026");
      this.progress();
    }, () => this.warn());
    // A pressed button that gets no answer says so beside the buttons.
    const tell = (words) => say(this.message, words);
    this.caller = new Caller(model, this.root, tell, tell);
    this.work = new Work(this.id, this.paper, this.answers, (item) => {
      this.caller.send({ command: "check", item });
    });
    this.timer = setInterval(() => {
      this.tick();
      this.strip.show();
    }, 500);
    if (model.get("face").phase === "working") this.answers.sendAgain();
    this.show();
  }

  buildFrame(el) {
    const { paper, id } = this;
    const title = make("p", { class: "tl-title", id: `${id}-title` }, paper.title);
    this.clock = make("p", { class: "tl-clock", role: "timer", "aria-label": "Time left" });
    this.done = make("p", { class: "tl-done" });
    this.bar = make("progress", { max: 1, value: 0, "aria-label": "Questions answered" });
    this.saved = status("tl-saved");
    this.spoken = status("tl-hidden");
    this.notice = make("p", { class: "tl-notice", role: "alert" });
    this.message = status("tl-message");
    this.body = make("div");
    const count = make("div", { class: "tl-count" }, this.done, this.bar);
    const head = make("header", {}, title, this.clock, count, this.saved);
    this.root = make(
      "section",
      {
        class: `tl-desk${paper.larger_print ? " tl-larger" : ""}`,
        "aria-labelledby": title.id,
      },
      head,
      this.spoken,
      this.notice,
      this.body,
      this.message,
    );
    this.root.addEventListener("keydown", (event) => event.stopPropagation());
    el.append(this.root);
    this.strip = new Strip(head, this.clock, this.saved);
  }

  warn() {
    const more = this.root.closest(".tl-page")
      ? "If that does not help: reload this page (F5). "
      : "If that does not help: menu Kernel, Restart Kernel and Run All Cells. ";
    say(
      this.notice,
      `NOT saved: no answer from the machine. ${wayOn(this.root)} ` +
        `${this.inNotebook ? more : ""}What you typed is kept in this window.`,
    );
  }

  get inNotebook() {
    return this.root.closest(".jp-NotebookPanel") !== null;
  }

  hear(told) {
    const { answers, work } = this;
    if (told.kind === "saved" || told.kind === "refused") {
      const one = answers.settled(told.ask), kept = told.kind === "saved";
      if (!kept) {
        say(this.saved, "");
        say(this.notice, told.words);
      } else if (!answers.open.size) {
        say(this.saved, `Saved at ${told.at}`);
        say(this.notice, this.model.get("face").notice ?? "");
      }
      if (one) work.sayOf(one.item, one.field, kept ? told.words : "");
    } else if (told.kind === "step") {
      answers.put(told.item, told.field, Array(told.steps).fill("step"));
      say(this.saved, `Saved at ${told.at}`);
      this.progress();
    } else if (told.kind === "picture") work.showPicture(told.item, told.html);
    else if (told.kind === "feedback" && work.showFeedback(told.item, told.lines, told.html)) {
      this.caller.answered();
      say(this.message, "");
    }
  }

  progress() {
    const { asked } = this.answers;
    const given = asked.filter((item) => this.answers.state(item) === "answered").length;
    this.bar.max = asked.length;
    this.bar.value = given;
    say(this.done, `${given} of ${asked.length} answered`);
    this.work.nameItems();
    const left = this.body.querySelector(".tl-left"), missing = asked.length - given;
    const items = missing > 1 ? "questions are" : "question is";
    const words = missing
      ? `${missing} ${items} not answered, or not in full.`
      : "All questions are answered.";
    if (left) say(left, words);
  }

  buildReady() {
    const { paper } = this;
    const words = paper.practice
      ? "Press Start when you are ready."
      : `You have ${paper.minutes} minutes. The clock runs as soon as you press Start, ` +
        "and it goes on if you close the window.";
    const begin = make("button", { type: "submit" }, "Start");
    const form = make("form", {}, make("p", {}, words), begin);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.caller.send({ command: "start" });
    });
    this.body.replaceChildren(form);
  }

  buildWork() {
    const { id, work, caller } = this, parts = [work.nav, work.box];
    if (!this.paper.practice) {
      parts.push(
        handInForm(id, this.message, () => caller.send({ command: "hand_in", own_work: true })),
        supervisorForms(id, (command, given) => caller.send({ command, ...given })),
      );
    }
    this.body.replaceChildren(...parts);
    work.fixed = this.phase !== "working";
    work.showItem(work.here);
  }

  buildOver(face) {
    const file = make("code", {}, face.file);
    const number = make("strong", { class: "tl-number" }, face.number);
    const where = " from this folder to your assessor, or leave it where the supervisor says.";
    const copy = make("a", { href: "/copy" }, "download a copy");
    const kept =
      " lies on the machine that shows you this page. It is all that counts: if it has " +
      "to be sent by mail or on a stick, send that one file, or ";
    this.body.replaceChildren(
      make("p", { class: "tl-title" }, "Handed in"),
      this.inNotebook
        ? make("p", {}, "Send the file ", file, where)
        : make("p", {}, "The file ", file, kept, copy, "."),
      make("p", {}, "Its check number is ", number, ". Write it down."),
    );
  }

  tick() {
    const { paper, phase, clock } = this;
    if (paper.practice || phase === "handed_in") return say(clock, "");
    const rest = Math.max(0, Math.round((this.endsAt - performance.now()) / 1000));
    const left = phase === "ready" ? 60 * paper.minutes : phase === "break" ? this.stands : rest;
    const two = (number) => String(number).padStart(2, "0");
    const hours = Math.floor(left / 3600), minutes = Math.floor(left / 60) % 60;
    const still = `${hours ? `${hours}:${two(minutes)}` : minutes}:${two(left % 60)}`;
    say(clock, `${phase === "break" ? "Break. " : ""}Time left ${still}`);
    clock.dataset.short = String(left <= 300 && phase !== "ready");
    const mark = [60, 300, 600].find((limit) => left <= limit);
    if (mark && mark !== this.called && phase === "working") {
      this.called = mark;
      say(this.spoken, `${mark / 60} minute${mark === 60 ? "" : "s"} left`);
    }
    if (left === 0 && phase === "working") {
      this.phase = "over";
      this.build();
    }
  }

  build() {
    if (this.phase === "ready") return this.buildReady();
    const face = this.model.get("face");
    if (this.phase === "handed_in") return this.buildOver(face);
    if (this.phase === "break") {
      const end = (given) => this.caller.send({ command: "resume", ...given });
      return this.body.replaceChildren(breakForm(this.id, face.pause, end));
    }
    this.buildWork();
    if (this.phase === "over") say(this.message, "The time is over. Hand in now.");
  }

  // Another page of the desk is shorter or longer than the one before: begin at its top, with the
  // reader there.
  reveal() {
    /** @type {HTMLElement | null} */
    const begin = this.body.querySelector("h3, .tl-title");
    begin?.setAttribute("tabindex", "-1");
    begin?.focus({ preventScroll: true });
    requestAnimationFrame(() => this.root.scrollIntoView({ block: "start" }));
  }

  show() {
    const face = this.model.get("face");
    this.caller.answered();
    this.endsAt = performance.now() + 1000 * face.seconds_left;
    this.stands = Math.max(0, Math.round(face.seconds_left));
    say(this.notice, face.notice);
    if (face.phase !== this.phase) {
      const before = this.phase;
      this.phase = face.phase;
      this.build();
      if (before) this.reveal();
    }
    if (face.message) say(this.message, face.message);
    else if (this.phase === "handed_in") say(this.message, "");
    this.progress();
    this.tick();
  }

  stop() {
    clearInterval(this.timer);
    this.strip.stop();
    this.caller.answered();
  }
}

function render({ model, el }) {
  const desk = new Desk(model, el);
  const show = () => desk.show(), hear = (told) => desk.hear(told);
  model.on("change:face", show);
  model.on("msg:custom", hear);
  return () => {
    desk.stop();
    model.off("change:face", show);
    model.off("msg:custom", hear);
  };
}

export default { render };
