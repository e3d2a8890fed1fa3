// One lesson: it waits until the machine is ready, says what happens, and runs the lesson part by
// part, so that what stands there is replaced and never only taken away.

export const COMMAND = "tractionlab:start-lesson";
const PATIENCE = 10_000; // ms without anything new, then the learner is told what to do
const STOPPED = "The computation has stopped. What you answered is kept.";
const GONE = "The course does not answer: it was closed, or the network is gone. Start it again; " +
  "in a class, load this page anew. What you answered is kept.";
const FOREIGN = "This notebook is not as the course wrote it. Start it only if you know who " +
  "changed it, and what.";
const SLOW = "Nothing new yet: the machine may be busy. If it stays so, press Start again.";
const WRONG = "A part of this page could not be computed. Press Start again; if it stays so, " +
  "tell your instructor.";
const FAILED = "The computation could not be started. Press Start again, or reload this page (F5).";

/** @param {any} cell */
export const hasButton = (cell) =>
  cell.model.type === "markdown" && cell.model.sharedModel.getSource().includes(COMMAND);

/** @param {any} panel @returns {any[]} */
const codeCells = (panel) => panel.content.widgets.filter((cell) => cell.model.type === "code");

/**
 * Text that a part shows stays to be read, as a copy, until what replaces it is there.
 * @param {any} cell
 * @returns {() => void} what ends that
 */
function holdStill(cell) {
  const { outputArea, model } = cell, area = outputArea.node;
  if (!model.outputs.length || area.querySelector(".jupyter-widgets")) return () => {};
  const copy = area.cloneNode(true);
  area.before(copy);
  area.hidden = true;
  return () =>
    setTimeout(() => {
      area.hidden = false;
      copy.remove();
    }, 50);
}

export class Lesson {
  /**
   * @param {any} panel the notebook
   * @param {boolean | null} own all its cells are as the course wrote them; null: not known here
   * @param {{ CodeCell: any, Widget: any }} lab classes of JupyterLab
   * @param {() => void} changed called when there are new words
   */
  constructor(panel, own, { CodeCell, Widget }, changed) {
    this.panel = panel;
    this.own = own;
    this.CodeCell = CodeCell;
    this.changed = changed;
    this.run = 0;
    this.started = this.busy = this.greeted = false;
    this.moved = 0;
    this.words = "";
    this.makeStrip(Widget);
    // What the course shows got no answer (paint/js/caller.js).
    panel.node.addEventListener("tl-unanswered", () => this.lost());
    panel.sessionContext.statusChanged.connect((_, status) => {
      const gone = ["starting", "restarting", "terminating", "dead"];
      if (status === "autorestarting" || (this.started && gone.includes(status))) this.lost();
    });
    panel.sessionContext.kernelChanged.connect((_, { newValue }) => {
      if (!newValue && this.started) this.lost();
    });
  }

  /** Shown for the first time: the course's own runs by itself, a changed one asks. */
  async greet() {
    if (this.greeted) return;
    this.greeted = true;
    this.said();
    if (this.own === null) return; // the button at its top is there
    if (!this.own) return this.ask(FOREIGN, "Start it");
    await this.panel.sessionContext.ready;
    if (!this.run) await this.start();
  }

  async start() {
    const again = this.run > 0 && this.busy;
    if (again && performance.now() - this.moved < PATIENCE) return;
    const mine = ++this.run;
    this.busy = true;
    this.move("Getting ready …");
    const impatient = setInterval(() => {
      if (performance.now() - this.moved >= PATIENCE) this.ask(SLOW, "Start again");
    }, 500);
    try {
      await this.connect(again);
      await this.runAll(mine);
    } catch (problem) {
      if (mine === this.run) this.ask(FAILED, "Start again");
      console.warn(problem);
    } finally {
      clearInterval(impatient);
      if (mine === this.run) this.busy = false;
    }
  }

  /** Wait for the kernel; start one if there is none, another one if it does not answer. */
  async connect(again) {
    const context = this.panel.sessionContext;
    if (again) await context.restartKernel();
    await context.ready;
    if (!context.session?.kernel) await context.startKernel();
    else if (context.session.kernel.status === "dead") await context.restartKernel();
    await context.session.kernel.info;
  }

  async runAll(mine) {
    const cells = codeCells(this.panel);
    let wrong = false;
    for (const [place, cell] of cells.entries()) {
      this.move(`Getting ready: ${place + 1} of ${cells.length} …`);
      const release = holdStill(cell);
      const reply = await this.CodeCell.execute(cell, this.panel.sessionContext).finally(release);
      if (mine !== this.run) return;
      wrong ||= reply?.content.status === "error";
    }
    this.started = true;
    this.panel.content.deselectAll();
    this.panel.content.activeCellIndex = 0;
    // Saved at once, so that closing the lesson asks nothing.
    await this.panel.context.save();
    if (mine !== this.run) return;
    if (wrong) this.ask(WRONG, "Start again");
    else this.move("Ready. Read on below.");
  }

  /** The kernel is gone or begins afresh: what stands in the page answers no more. */
  lost() {
    if (!this.busy) this.ask(STOPPED, "Start to go on");
  }

  /** The whole course is gone. */
  gone() {
    this.ask(GONE, "Load this page anew", () => location.reload());
  }

  /**
   * Say it in a line above the lesson, with a button that starts it or does something else.
   * @param {string} words @param {string} button @param {() => unknown} act
   */
  ask(words, button, act = () => this.start()) {
    this.act = act;
    if (this.stripWords.textContent !== words) this.stripWords.textContent = words;
    this.stripButton.textContent = button;
    this.strip.show();
    this.say(`Press ${button}.`);
  }

  makeStrip(Widget) {
    const node = document.createElement("div");
    this.stripWords = Object.assign(document.createElement("span"), { role: "status" });
    this.stripButton = Object.assign(document.createElement("button"), { type: "button" });
    this.stripButton.addEventListener("click", () => this.act());
    node.className = "tl-start-bar";
    node.append(this.stripWords, this.stripButton);
    this.strip = new Widget({ node });
    this.strip.hide();
    this.panel.contentHeader.addWidget(this.strip);
  }

  move(words) {
    this.moved = performance.now();
    this.strip.hide();
    this.say(words);
  }

  say(words) {
    this.words = words;
    const node = this.said();
    if (node && node.textContent !== words) node.textContent = words;
    this.changed();
  }

  /** The line beside the button, made anew if the text around it was drawn anew. */
  said() {
    const buttons = this.panel.node.querySelectorAll("button[data-commandlinker-command]");
    const button = [...buttons]
      .find((one) => one.dataset.commandlinkerArgs?.includes(COMMAND));
    if (!button) return null;
    const there = button.parentElement.querySelector(".tl-start-said");
    if (there) return there;
    const made = document.createElement("span");
    Object.assign(made, { className: "tl-start-said", role: "status" });
    button.after(made);
    return made;
  }
}
