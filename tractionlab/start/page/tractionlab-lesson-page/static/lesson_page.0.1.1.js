// The Start button of a lesson. It waits until the machine is ready, says what happens, and runs the lesson part by part,
// so that what stands there is replaced and never only taken away.

const COMMAND = "tractionlab:start-lesson";
const PATIENCE = 10_000;   // ms without anything new, then the learner is told what to do
const KEPT = "What you answered is kept.";
const STOPPED = `The computation of this lesson has stopped. ${KEPT}`;
const SLOW = "Nothing new yet: the machine may be busy. If it stays so, press Start again; if that does not help, "
  + "reload this page (F5).";
//: What a kernel is asked when a lesson opens: has the lesson been started in it, and are there answers in the folder?
const ASKED = { started: "'tractionlab.lesson' in __import__('sys').modules",
  answered: "__import__('os').path.exists('my_record.jsonl')" };

const hasButton = (cell) => cell.model.type === "markdown" && cell.model.sharedModel.getSource().includes(COMMAND);
const codeCells = (panel) => panel.content.widgets.filter((cell) => cell.model.type === "code");

// Text that a part shows stays to be read, as a copy, until what replaces it is there. Returns what ends that.
function holdStill(cell) {
  const { outputArea, model } = cell, area = outputArea.node;
  if (!model.outputs.length || area.querySelector(".jupyter-widgets")) return () => {};
  const copy = area.cloneNode(true);
  area.before(copy);
  area.hidden = true;
  return () => setTimeout(() => { area.hidden = false; copy.remove(); }, 50);
}

export async function lessonPage(shared) {
  const [{ INotebookTracker }, { CodeCell }, { Widget }] =
    await Promise.all(["@jupyterlab/notebook", "@jupyterlab/cells", "@lumino/widgets"].map(shared));
  return {
    id: "tractionlab-lesson-page:plugin",
    description: "The Start button of the course's lessons",
    autoStart: true,
    requires: [INotebookTracker],
    activate: (app, tracker) => attend(app, tracker, CodeCell, Widget),
  };
}

function attend(app, tracker, CodeCell, Widget) {
  const pages = new WeakMap();
  const pageOf = async (panel) => {
    await panel.context.ready;
    if (!pages.has(panel) && panel.content.widgets.some(hasButton)) pages.set(panel, new Page(panel, CodeCell, Widget));
    return pages.get(panel);
  };
  const start = async (panel) => { if (panel) await (await pageOf(panel))?.start(); };
  app.commands.addCommand(COMMAND, { label: "Start this lesson", isEnabled: () => Boolean(tracker.currentWidget),
    execute: () => start(tracker.currentWidget) });
  const greet = async (panel) => { await (await pageOf(panel))?.greet(); };
  tracker.forEach(greet);
  tracker.widgetAdded.connect((_, panel) => { greet(panel); });
  // A button starts the lesson that it stands in, even while other lessons are still being opened; a link in a card opens
  // a lesson beside the others, not in place of the whole page.
  document.addEventListener("click", (event) => {
    const pressed = event.target.closest?.(`a[data-lesson], button[data-commandlinker-args*="${COMMAND}"]`);
    const panel = pressed && tracker.find((one) => one.node.contains(pressed));
    if (!panel) return;
    event.preventDefault();
    event.stopPropagation();
    if (pressed.dataset.lesson) open(app, panel, pressed.dataset.lesson);
    else start(panel);
  }, true);
}

function open(app, panel, notebook) {
  const folder = panel.context.path.split("/").slice(0, -1);
  return app.commands.execute("docmanager:open", { path: [...folder, notebook].join("/") });
}

class Page {
  constructor(panel, CodeCell, Widget) {
    Object.assign(this, { panel, CodeCell, run: 0, started: false, moved: 0 });
    this.makeBar(Widget);
    panel.sessionContext.statusChanged.connect((_, status) => {
      if (["starting", "restarting", "autorestarting", "terminating", "dead"].includes(status)) this.lost();
    });
    panel.sessionContext.kernelChanged.connect((_, { newValue }) => { if (!newValue) this.lost(); });
  }

  // A lesson that runs already (the page was reloaded) comes back by itself; with answers from another day it says how to go on.
  async greet() {
    this.said();
    const context = this.panel.sessionContext;
    await context.ready;
    const kernel = context.session?.kernel;
    if (!kernel || this.run) return;
    if (kernel.status === "busy") this.say("Getting ready \u2026");
    const { content } = await kernel.requestExecute({ code: "", silent: true, store_history: false, user_expressions: ASKED }).done;
    const found = (name) => content.user_expressions?.[name]?.data?.["text/plain"] === "True";
    if (this.run) return;
    if (found("started") && codeCells(this.panel).every((cell) => cell.model.trusted)) await this.start();
    else if (found("answered")) this.say(`Press Start to go on. ${KEPT}`);
  }

  async start() {
    const again = this.run && this.busy;
    if (again && performance.now() - this.moved < PATIENCE) return;
    const mine = ++this.run;
    this.busy = true;
    this.move("Getting ready \u2026");
    const impatient = setInterval(() => {
      if (performance.now() - this.moved >= PATIENCE) this.say(SLOW);
    }, 500);
    try {
      await this.connect(again);
      await this.runAll(mine);
    } catch (problem) {
      if (mine === this.run) this.say("The lesson could not be started. Press Start again, or reload this page (F5).");
      console.warn(problem);
    } finally {
      clearInterval(impatient);
      if (mine === this.run) this.busy = false;
    }
  }

  // Wait for the kernel; start one if there is none, another one if it does not answer.
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
    const book = this.panel.content;
    let wrong = false;
    this.stopped(false);
    for (const [place, cell] of cells.entries()) {
      this.move(`Getting ready: ${place + 1} of ${cells.length} \u2026`);
      const release = holdStill(cell);
      const reply = await this.CodeCell.execute(cell, this.panel.sessionContext).finally(release);
      if (mine !== this.run) return;
      wrong ||= reply?.content.status === "error";
    }
    if (book.activeCellIndex === 1) book.activeCellIndex = 0; // stand at the top, not at the button
    this.started = true;
    this.move(wrong ? "A part of this lesson could not be computed. Press Start again; if it stays so, tell your instructor."
      : "Ready. Read on below.");
    // Saved at once, so that closing the lesson asks nothing.
    await this.panel.context.save();
  }

  // The kernel is gone or begins afresh: what stands in the page answers no more.
  lost() {
    if (this.started && !this.busy) this.stopped(true);
  }

  stopped(on) {
    this.bar.setHidden(!on);
    this.barWords.textContent = on ? STOPPED : "";
    if (on) this.say("Press Start to go on.");
  }

  makeBar(Widget) {
    const node = document.createElement("div"), button = document.createElement("button");
    this.barWords = Object.assign(document.createElement("span"), { role: "status" });
    button.type = "button";
    button.textContent = "Start to go on";
    button.addEventListener("click", () => this.start());
    node.className = "tl-start-bar";
    node.append(this.barWords, button);
    this.bar = new Widget({ node });
    this.bar.hide();
    this.panel.contentHeader.addWidget(this.bar);
  }

  move(words) {
    this.moved = performance.now();
    this.say(words);
  }

  say(words) {
    const node = this.said();
    if (node && node.textContent !== words) node.textContent = words;
  }

  // The line beside the button, made anew if the text around it was drawn anew.
  said() {
    const button = [...this.panel.node.querySelectorAll("button[data-commandlinker-command]")]
      .find((one) => one.dataset.commandlinkerArgs?.includes(COMMAND));
    if (!button) return null;
    const there = button.parentElement.querySelector(".tl-start-said");
    if (there) return there;
    const made = Object.assign(document.createElement("span"), { className: "tl-start-said", role: "status" });
    button.after(made);
    return made;
  }
}
