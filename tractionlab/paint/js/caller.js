// Caller: sends to the computation, and says in words what to do when nothing comes back.

export const PATIENCE = 3000;
export const AT_WORK = "The computation is still at work \u2026";

// The way to go on that the page offers now: a button over the lesson, the one at its top, or the
// menu. A page that is no notebook comes back by itself.
export function wayOn(node) {
  const notebook = node.closest(".jp-NotebookPanel");
  if (!notebook) return "Wait a moment, then reload this page (F5).";
  const buttons = notebook.querySelectorAll(
    ".tl-start-bar button, button[data-commandlinker-command]",
  );
  const offered = [...buttons].find((button) => button.offsetParent !== null);
  return offered
    ? `Press "${offered.textContent.trim()}" at the top of this page to go on.`
    : "Go to the top of this page and press the button there to go on. " +
      "If there is none: menu Run, then Run All Cells.";
}

export class Caller {
  // `unanswered(words)` is called when a message gets no answer; `late(words)` while the
  // computation is still at work.
  constructor(model, node, unanswered, late) {
    this.model = model;
    this.node = node;
    this.unanswered = unanswered;
    this.late = late;
  }

  get kernel() {
    return this.model.widget_manager?.kernel;
  }

  send(message) {
    this.answered();
    try {
      this.model.send(message);
    } catch {
      return this.lost(); // the line is closed: the computation has begun afresh
    }
    this.wait();
  }

  wait() {
    this.timer = setTimeout(() => {
      if (this.kernel?.status !== "busy") return this.lost();
      this.late(AT_WORK);
      this.wait();
    }, PATIENCE);
  }

  answered() {
    clearTimeout(this.timer);
    this.broken?.disconnect(this.mended, this);
    this.broken = undefined;
  }

  lost() {
    this.answered();
    const reached = (this.kernel?.connectionStatus ?? "connected") === "connected";
    // A page of the course shows its own button then (start/page).
    if (reached) this.node.dispatchEvent(new CustomEvent("tl-unanswered", { bubbles: true }));
    else (this.broken = this.kernel.connectionStatusChanged)?.connect(this.mended, this);
    const closed = "If the window that opened the course is closed, open the course again. " +
      "Then reload this page (F5).";
    this.unanswered(`No answer from the computation. ${reached ? wayOn(this.node) : closed}`);
  }

  // The line is back: what was sent over the broken one stays without an answer, and the way to
  // go on is another one now.
  mended(kernel, status) {
    if (status === "connected") this.lost();
  }
}
