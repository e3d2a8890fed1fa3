// The work at the desk: one item of the paper at a time, and how far the candidate is.

import { labelFor, list, saidBelow } from "../../paint/js/fields.js";
import { Draft } from "../../paint/js/draft.js";
import { make, say } from "../../paint/js/make.js";
import { table } from "../../paint/js/table.js";
import { toFill } from "./answers.js";
import { FIELDS } from "./fields.js";

const button = (words, name) => make("button", { type: "button", class: name }, words);

export class Work {
  /**
   * @param {string} id
   * @param {Object<string, any>} paper
   * @param {import("./answers.js").Answers} answers
   * @param {(item: string) => void} check asks for feedback, in practice
   */
  constructor(id, paper, answers, check) {
    this.id = id;
    this.paper = paper;
    this.answers = answers;
    this.check = check;
    this.place = new Draft(`${paper.sitting} ${paper.candidate} item`, () => sessionStorage);
    this.here = paper.items[this.place.read()] ? this.place.read() : 0;
    this.fields = [];
    this.fixed = false;
    this.picker = list(paper.items.map((_, i) => [i, ""]), {
      class: "tl-picker",
      id: `${id}-picker`,
    });
    this.before = button("Previous question", "tl-before");
    this.after = button("Next question", "tl-after");
    this.box = make("div", { class: "tl-item" });
    this.picker.addEventListener("change", () => this.showItem(this.picker.selectedIndex));
    this.before.addEventListener("click", () => this.showItem(this.here - 1).focus());
    this.after.addEventListener("click", () => this.showItem(this.here + 1).focus());
    const label = labelFor(this.picker, "Question");
    this.nav = make(
      "nav",
      { "aria-label": "Questions" },
      label,
      this.picker,
      this.before,
      this.after,
    );
  }

  get item() {
    return this.paper.items[this.here];
  }

  /** Show the item at `place`; gives its heading. */
  showItem(place) {
    this.here = place;
    this.place.keep(place);
    const { item } = this;
    this.figure = item.picture ? make("div", { class: "tl-figure" }) : null;
    this.figure?.append(make("p", { class: "tl-small" }, "The picture is being drawn \u2026"));
    this.fields = item.fields.map((field, i) => this.makeField(field, `${this.id}-${place}-${i}`));
    const heading = make("h3", { tabindex: -1 }, `${place + 1}  ${item.title}`);
    const worth = `${item.marks} mark${item.marks === 1 ? "" : "s"}, about ${item.minutes} minutes`;
    const asked = make(
      "div",
      { class: "tl-asked" },
      heading,
      make("p", { class: "tl-small" }, worth),
      ...item.text.split("\n").filter((line) => line.trim()).map((line) => make("p", {}, line)),
      ...(item.given.length ? [table("Data sheet", item.given)] : []),
    );
    const answer = make("div", { class: "tl-answer" }, ...this.fields.map((field) => field.node));
    this.box.replaceChildren(asked, ...(this.figure ? [this.figure] : []), answer);
    this.answers.send({ command: "item", item: item.id });
    if (this.paper.practice && toFill(item).length) this.offerCheck();
    this.picker.selectedIndex = place;
    this.before.disabled = place === 0;
    this.after.disabled = place === this.paper.items.length - 1;
    return heading;
  }

  makeField(field, id) {
    const { item, answers } = this;
    const build = FIELDS[field.kind] ?? FIELDS.number;
    const made = build(field, id, (value) => answers.save(item.id, field.name, value), this.paper);
    const said = saidBelow(id, { role: "status" });
    made.write(answers.given[item.id]?.[field.name]);
    made.fix(this.fixed);
    return { name: field.name, said, ...made, node: make("div", {}, made.node, said) };
  }

  offerCheck() {
    const { id } = this.item, press = button("Check this answer");
    this.feedback = make("ul", { class: "tl-feedback", "aria-live": "polite" });
    press.addEventListener("click", () => this.check(id));
    this.box.append(make("div", { class: "tl-check" }, press, this.feedback));
  }

  /** What the machine says of a field, below it. */
  sayOf(item, name, words) {
    if (this.item?.id !== item) return;
    const field = this.fields.find((one) => one.name === name);
    if (field) say(field.said, words);
  }

  showPicture(item, html) {
    if (this.item?.id === item && this.figure) this.figure.innerHTML = html;
  }

  showFeedback(item, lines, html) {
    if (this.item?.id !== item || !this.feedback?.isConnected) return false;
    const curve = make("li", { class: "tl-figure" });
    curve.innerHTML = html;
    const said = lines.map((line) => make("li", {}, line));
    this.feedback.replaceChildren(...said, ...(html ? [curve] : []));
    return true;
  }

  /** Say in the list of items how far each is. */
  nameItems() {
    this.paper.items.forEach((item, i) => {
      say(this.picker.options[i], `${i + 1}  ${item.title}: ${this.answers.state(item)}`);
    });
  }
}
