// What a page does without comes with Notebook tools: JupyterLab's parts that no page shows
// (start/late_parts.py) are not set up before, and lessons that were left are not opened again.

import { choices } from "./kept.js";

const COMING = 8000; // ms after JupyterLab stands, within which a lesson has come

export class Later {
  /**
   * @param {any} app @param {any} tracker of notebooks @param {any} state JupyterLab's memory
   * @param {any} restorer what opens again what was open
   */
  constructor(app, tracker, state, restorer) {
    this.app = app;
    this.tracker = tracker;
    this.state = state;
    this.restorer = restorer;
    /** @type {string[]} names of parts that wait */
    this.waiting = app.info?.deferred?.matches?.splice(0) ?? [];
  }

  /** All parts are there at once, if what is opened is no page; what failed is in the log. */
  async begin() {
    if (choices().tools || !document.documentElement.matches(".tl-page-coming")) {
      return this.bring();
    }
    // A part that comes late has nothing to open again, and the restorer refuses to be asked.
    this.app.restored.then(() => {
      this.restorer.restore = () => Promise.resolve();
      setTimeout(() => this.look(), COMING);
    });
  }

  look() {
    if (!this.tracker.currentWidget) this.bring();
  }

  async bring() {
    if (!this.waiting.length) return;
    const coming = this.waiting.splice(0).map((part) => this.app.activatePlugin(part));
    for (const one of coming) await one.catch(console.warn);
    // They hear which notebook is in front, as if it came now.
    const { shell } = this.app, newValue = shell.currentWidget;
    if (newValue) shell.currentChanged.emit({ oldValue: null, newValue });
  }

  /** The notebooks that are open open again with JupyterLab only if its tools are in use. */
  remember(panels) {
    for (const panel of panels) {
      if (choices().tools) this.tracker.save(panel);
      else this.state.remove(`${this.tracker.namespace}:${panel.context.path}`);
    }
  }
}
