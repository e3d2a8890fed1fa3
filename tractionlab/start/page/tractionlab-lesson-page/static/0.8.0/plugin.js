// A lesson of the course is a page: opened, it runs by itself, below one slim bar. Jupyter's own
// tools are a choice of the person, kept by the browser, and come back complete: the page covers
// them by its style sheet alone.

import { Bar } from "./bar.js";
import { fitPanels } from "./fit.js";
import { hearHallKey } from "./hall.js";
import { choices, choose } from "./kept.js";
import { Later } from "./later.js";
import { COMMAND, hasButton, Lesson } from "./lesson.js";
import { leaveMarksOut, showMarks } from "./marks.js";
import { Place } from "./place.js";
import { printOf } from "./print.js";
import { quieten, quietenAround, quietenDeath, quietenLoss } from "./quiet.js";
import { addTasks } from "./tasks.js";

const TOOLS = "tractionlab:notebook-tools";
const OPEN_AT_ONCE = 2; // pages that stay open with their computation, the one in front among them

/** @param {(name: string) => Promise<any>} shared a package that JupyterLab shares */
export async function lessonPage(shared) {
  const names = ["notebook", "statedb", "apputils", "cells", "coreutils", "application"];
  const packages = [...names.map((name) => `@jupyterlab/${name}`), "@lumino/widgets"];
  const [
    { INotebookTracker },
    { IStateDB },
    { Dialog },
    { CodeCell },
    { PageConfig },
    { ILayoutRestorer },
    { Widget },
  ] = await Promise.all(packages.map(shared));
  leaveMarksOut(CodeCell);
  return {
    id: "tractionlab-lesson-page:plugin",
    description: "The lessons of the course as pages",
    autoStart: true,
    requires: [INotebookTracker, IStateDB, ILayoutRestorer],
    activate: (app, tracker, state, restorer) => {
      const told = PageConfig.getOption("tractionlabNotebooks");
      const later = new Later(app, tracker, state, restorer);
      new Pages(app, tracker, { CodeCell, Dialog, Widget }, told ? JSON.parse(told) : null, later);
      return later.begin();
    },
  };
}

/** @param {string} path */
const nameOf = (path) => path.split("/").at(-1);

/**
 * A notebook as the course wrote it; `tasks` is what its tasks ask to be tried (tasks.js).
 * @typedef {{ path: string, title: string, print: string, tasks: Object<string, any[][]> }} Own
 */

class Pages {
  /**
   * @param {any} app
   * @param {any} tracker
   * @param {{ CodeCell: any, Dialog: any, Widget: any }} lab
   * @param {Own[] | null} own notebooks as the course
   *   wrote them; null if the server does not say
   * @param {Later} later
   */
  constructor(app, tracker, lab, own, later) {
    this.app = app;
    this.tracker = tracker;
    this.lab = lab;
    this.own = own;
    this.later = later;
    /** @type {any} */
    this.shown = null;
    /** @type {Map<any, { lesson: Lesson, place: Place }>} its notebooks, last shown last */
    this.pages = new Map();
    /** Notebooks that are known to be of the course, or not. */
    this.looked = new WeakSet();
    this.bar = new Bar(own ?? [], {
      open: (path) => this.open(this.shown, path),
      tools: () => this.chooseTools(true),
      read: () => this.placeShown()?.scroller.focus(),
    });
    document.body.prepend(this.bar.node);
    this.addCommands();
    quietenAround(this.bar.node, () => this.placeShown());
    hearHallKey(() => this.placeShown(), (words) => this.bar.say(words));
    const asPage = () => Boolean(this.placeShown());
    quietenLoss(lab.Dialog, asPage, () => this.pages.get(this.shown)?.lesson.gone());
    tracker.forEach((panel) => this.attend(panel));
    tracker.widgetAdded.connect((_, panel) => this.attend(panel));
    app.shell.currentChanged?.connect(() => this.arrange());
    app.restored.then(() => setTimeout(() => this.uncover(), 1500));
    document.addEventListener("click", (event) => this.clicked(event), true);
  }

  addCommands() {
    this.app.commands.addCommand(COMMAND, {
      label: "Start this lesson",
      isEnabled: () => this.pages.has(this.tracker.currentWidget),
      execute: () => this.pages.get(this.tracker.currentWidget)?.lesson.start(),
    });
    this.app.commands.addCommand(TOOLS, {
      label: "Notebook tools",
      isToggleable: true,
      isToggled: () => Boolean(choices().tools),
      execute: () => this.chooseTools(!choices().tools),
    });
  }

  /** A notebook has been opened: one of the course becomes a page. */
  async attend(panel) {
    await panel.context.ready;
    if (this.looked.has(panel)) return;
    this.looked.add(panel);
    if (panel.content.widgets.some(hasButton)) this.addPage(panel);
    this.arrange();
  }

  addPage(panel) {
    const print = printOf(panel.content);
    const own = this.own ? this.own.some((one) => one.print === print) : null;
    const scroller = panel.content.node.querySelector(".jp-WindowedPanel-outer");
    scroller.tabIndex = -1;
    quieten(scroller, () => panel.hasClass("tl-page"));
    quietenDeath(panel.sessionContext, this.lab.Dialog, () => !choices().tools);
    const lesson = new Lesson(panel, own, this.lab, () => this.tell());
    this.pages.set(panel, { lesson, place: new Place(panel, scroller) });
    panel.toggleClass("tl-own", Boolean(own));
    panel.disposed.connect(() => this.pages.delete(panel));
    this.addWayBack(panel);
    this.later.remember([panel]);
    fitPanels(panel, scroller);
    addTasks(panel, this.own?.find((one) => one.print === print)?.tasks ?? {});
  }

  /** In the notebook's own toolbar: back to the page. */
  addWayBack(panel) {
    const node = document.createElement("div"), button = document.createElement("button");
    Object.assign(button, { type: "button", textContent: "Back to the lesson page" });
    button.className = "tl-page-back";
    button.addEventListener("click", () => this.chooseTools(false));
    node.append(button);
    panel.toolbar.insertItem(0, "tractionlab-page", new this.lab.Widget({ node }));
  }

  chooseTools(tools) {
    choose({ tools });
    this.later.remember(this.pages.keys());
    this.arrange();
    if (!this.shown) return;
    if (tools) {
      showMarks(this.shown);
      this.shown.node.querySelector(".tl-page-back")?.focus();
    } else this.placeShown()?.scroller.focus();
  }

  /** Place of the page in front; null if there is none, or Jupyter's tools are shown. */
  placeShown() {
    return this.shown?.hasClass("tl-page") ? this.pages.get(this.shown).place : null;
  }

  /** Page or notebook, by what is in front and what the person chose. */
  arrange() {
    const current = this.tracker.currentWidget;
    const front = current && this.app.shell.currentWidget === current;
    if (front && !this.looked.has(current)) return this.expect(current);
    const before = this.placeShown();
    this.shown = front && this.pages.has(current) ? current : null;
    const asPage = Boolean(this.shown && !choices().tools);
    for (const [panel, { place }] of this.pages) {
      panel.toggleClass("tl-page", panel === this.shown && asPage);
      // JupyterLab's "feed" of cells is none here: parts of one page, some without anything to see.
      place.scroller.querySelector("[role=feed], [role=none]")
        ?.setAttribute("role", asPage ? "none" : "feed");
      // Its cells have names: only what has a role may have one.
      for (const { node } of panel.content.widgets) node.setAttribute("role", "group");
    }
    if (!this.pages.has(current)) current?.toggleClass("tl-page", false);
    document.body.classList.toggle("tl-as-page", asPage);
    const widget = this.app.shell.currentWidget;
    if (front ? !asPage : widget && !this.tracker.has(widget)) this.later.bring();
    if (before !== this.placeShown()) window.dispatchEvent(new Event("resize"));
    if (this.shown) this.present(this.shown, asPage);
  }

  /** One page follows another: nothing of JupyterLab shows while its notebook is fetched. */
  expect(panel) {
    this.shown = null;
    this.bar.say("");
    panel.toggleClass("tl-page", document.body.classList.contains("tl-as-page"));
  }

  present(panel, asPage) {
    const { lesson, place } = this.pages.get(panel), first = !lesson.greeted;
    this.uncover();
    this.bar.show(nameOf(panel.context.path), nameOf(panel.context.path).replace(".ipynb", ""));
    this.tell();
    const page = this.pages.get(panel);
    this.pages.delete(panel);
    this.pages.set(panel, page);
    if (asPage) this.leave([...this.pages.keys()].slice(0, -OPEN_AT_ONCE));
    if (!first) return;
    place.hold();
    if (asPage && (document.activeElement ?? document.body) === document.body) {
      place.scroller.focus({ preventScroll: true });
    }
    lesson.greet().finally(() => place.settle());
  }

  /**
   * Pages that were left are saved and closed with their computation, unless it is at work or
   * somebody changed the notebook.
   */
  async leave(panels) {
    for (const panel of panels) {
      const { lesson } = this.pages.get(panel);
      if (lesson.busy || panel.sessionContext.session?.kernel?.status === "busy") continue;
      if (panel.context.model.dirty && !lesson.own) continue;
      this.pages.delete(panel);
      if (panel.context.model.dirty) await panel.context.save().catch(console.warn);
      await panel.sessionContext.shutdown().catch(console.warn);
      panel.dispose();
    }
  }

  tell() {
    if (this.shown) this.bar.say(this.pages.get(this.shown)?.lesson.words ?? "");
  }

  uncover() {
    document.documentElement.classList.remove("tl-page-coming");
  }

  /**
   * A button starts the lesson that it stands in, even while other lessons are still being opened;
   * a link in a card opens a lesson beside the others, not in place of the whole page.
   * @param {MouseEvent} event
   */
  clicked(event) {
    const ours = `a[data-lesson], button[data-commandlinker-args*="${COMMAND}"]`;
    const target = /** @type {HTMLElement} */ (event.target);
    const pressed = /** @type {HTMLElement | null} */ (target.closest?.(ours));
    const panel = pressed && this.tracker.find((one) => one.node.contains(pressed));
    if (!panel) return;
    event.preventDefault();
    event.stopPropagation();
    if (pressed.dataset.lesson) this.open(panel, pressed.dataset.lesson);
    else this.pages.get(panel)?.lesson.start();
  }

  /** Open a notebook that lies beside another one. */
  open(panel, name) {
    const folder = panel.context.path.split("/").slice(0, -1);
    this.app.commands.execute("docmanager:open", { path: [...folder, name].join("/") });
  }
}
