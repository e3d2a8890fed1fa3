// What a page does without comes with Notebook tools: JupyterLab's parts that no page shows
// (start/late_parts.py) are not set up before, and lessons that were left are not opened again.

import { choices } from "./kept.js";

const COMING = 8000; // ms after JupyterLab stands, within which a lesson has come

export class Later {
  /** @param {any} app @param {any} tracker of notebooks @param {any} state JupyterLab's memory */
  constructor(app, tracker, state) {
    this.app = app;
    this.tracker = tracker;
    this.state = state;
    /** @type {string[]} names of parts that wait */
    this.waiting = app.info?.deferred?.matches?.splice(0) ?? [];
  }

  /** All parts are there at once, if what is opened is no page; what failed is in the log. */
  async begin() {
    if (choices().tools || !document.documentElement.matches(".tl-page-coming")) await this.bring();
    else this.app.restored.then(() => setTimeout(() => this.look(), COMING));
  }

  look() {
    if (!this.tracker.currentWidget) this.bring();
  }

  async bring() {
    const coming = this.waiting.splice(0).map((part) => this.app.activatePlugin(part));
    for (const one of coming) await one.catch(console.warn);
  }

  /** The notebooks that are open open again with JupyterLab only if its tools are in use. */
  remember(panels) {
    for (const panel of panels) {
      if (choices().tools) this.tracker.save(panel);
      else this.state.remove(`${this.tracker.namespace}:${panel.context.path}`);
    }
  }
}
