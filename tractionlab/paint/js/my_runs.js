// Keeping runs in a panel: its two buttons, the table that stands in the place of the car, and the
// pale lines.

import { say } from "./make.js";
import { RunsTable } from "./runs.js";

export class MyRuns {
  /** @param {any} panel */
  constructor(panel) {
    this.panel = panel;
    this.open = false;
    const { frame, model, controls, printer } = panel;
    this.table = new RunsTable(
      frame.runs,
      model.get("controls"),
      (values) => controls.change(values),
      (letter) => {
        frame.keep.focus();
        printer.send({ kind: "remove", letter });
      },
    );
    frame.keep.addEventListener("click", () => {
      this.open = true;
      printer.send({ kind: "keep" });
    });
    frame.mine.addEventListener("click", () => {
      this.open = !this.open;
      this.show();
      panel.layout.fit(panel.shown);
    });
    if (model.get("notice")) panel.words.tell(model.get("notice"));
    this.show();
  }

  // A run has been kept or removed.
  arrive() {
    this.panel.draw(this.panel.model.get("picture"));
    this.panel.layout.fit(this.panel.shown);
  }

  show() {
    const { frame, model, shown, words, car } = this.panel;
    const kept = model.get("kept"), { keep, mine, runs, car: place } = frame;
    const locked = model.get("locked"), open = this.open && kept.length > 0;
    keep.hidden = !model.get("keeps");
    mine.hidden = !kept.length;
    keep.disabled = mine.disabled = locked;
    say(mine, open && car.span ? "Show the car" : `My runs (${kept.length})`);
    mine.setAttribute("aria-expanded", String(open));
    runs.hidden = !open;
    place.classList.toggle("tl-away", open);
    if (open) this.table.show(kept, model.get("picture").values, shown.figures, words.holds);
  }
}
