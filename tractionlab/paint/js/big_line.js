// The line below a picture on the big screen: settings, clock, steps of the demonstration and the
// picture shown; opened, all controls of the panel and what records a step.

import { labelled, list, textBox } from "./fields.js";
import { freshName, make, say } from "./make.js";
import { picturesOf } from "./pictures.js";
import { settingWords } from "./runs.js";

const SHORT = 3; // letters: so short a word, as "off", says nothing without its label

/**
 * What of the controls differs from how the panel opens, in words.
 * @param {any[]} controls
 * @param {Object<string, any>} values
 */
export function settingsInWords(controls, values) {
  return controls.filter(({ kind, name, value, when }) =>
    ["Slider", "Choice", "Switch"].includes(kind) && values[name] !== value &&
    !(when?.length && values[when[0]] !== when[1])
  ).map((spec) => {
    const words = settingWords(spec, values[spec.name]);
    if (spec.kind === "Choice") return words.length > SHORT ? words : `${spec.label}: ${words}`;
    return words === "on" ? spec.label : `${spec.label} ${words}`;
  });
}

export class BigLine {
  /** @param {any} panel of panel.js @param {any} big of big_screen.js */
  constructor(panel, big) {
    this.panel = panel;
    this.big = big;
    this.owned = false;
    this.folded = true;
    const button = (words, act, label = null) => {
      const made = make("button", { type: "button", "aria-label": label }, words);
      made.addEventListener("click", act);
      return made;
    };
    this.opener = button("Controls", () => this.fold(!this.folded));
    this.opener.setAttribute("aria-expanded", "false");
    this.opener.className = "tl-big-opener";
    const { clock } = panel;
    this.play = button("Play", () => clock.playing ? clock.pause() : clock.play());
    this.time = make("span", { class: "tl-big-time" });
    this.before = button("‹", () => big.step(-1), "Step before");
    this.place = make("span", {});
    this.after = button("›", () => big.step(1), "Next step");
    this.picture = button("Picture", () => big.turn(1), "Next picture");
    this.node = make(
      "div",
      { class: "tl-big-line", role: "group", "aria-label": "Big screen" },
      this.opener,
      this.play,
      this.time,
      make("span", { class: "tl-big-steps" }, this.before, this.place, this.after),
      this.picture,
      button("Back", () => big.close()),
    );
    this.sentence = textBox(freshName(), { inputmode: "text" });
    this.whose = list([["false", "of the course"], ["true", "my own"]], { id: freshName() });
    this.whose.addEventListener("change", () => big.choose(this.whose.value === "true"));
    this.said = make("p", { class: "tl-big-said", role: "status" });
    this.whoseRow = labelled("Demonstration", this.whose);
    this.more = make(
      "div",
      { class: "tl-big-more" },
      labelled("Sentence of a new step", this.sentence),
      button("Record this step", () => this.record()),
      this.whoseRow,
    );
    panel.frame.root.append(this.said);
  }

  fold(folded) {
    this.folded = folded;
    this.opener.setAttribute("aria-expanded", String(!folded));
    this.panel.frame.root.classList.toggle("tl-opened", !folded);
    if (folded) this.panel.frame.root.focus();
  }

  record() {
    this.big.record(this.sentence.value);
    this.sentence.value = "";
  }

  /** @param {string} words */
  tell(words) {
    say(this.said, words);
    this.said.hidden = !words;
  }

  refresh() {
    const { panel, big } = this, { at, own } = big.steps, count = big.steps.count ?? 0;
    big.title();
    this.nameOpener(settingsInWords(panel.model.get("controls"), panel.controls.values));
    say(this.place, count ? `${at < 0 ? "–" : at + 1} of ${count}` : "");
    this.before.parentElement.hidden = !count;
    this.before.disabled = at < 1;
    this.after.disabled = at >= count - 1;
    this.picture.hidden = picturesOf(panel.shown).length < 2;
    this.whose.value = String(Boolean(own));
    this.whoseRow.hidden = !this.owned;
    this.tick();
  }

  /**
   * The button that opens the controls says what is set, in a row of its own where that is long,
   * and as far as there is room.
   */
  nameOpener(settings) {
    const { opener } = this, entries = [...settings];
    opener.setAttribute("aria-label", ["Controls", ...settings].join(", "));
    say(opener, entries.join(" · ") || "Controls");
    this.node.classList.remove("tl-two");
    this.node.classList.toggle("tl-two", opener.scrollWidth > opener.clientWidth);
    while (entries.length > 1 && opener.scrollWidth > opener.clientWidth) {
      entries.pop();
      say(opener, `${entries.join(" · ")} …`);
    }
  }

  tick() {
    const { clock } = this.panel, timed = Boolean(clock.span);
    this.play.hidden = this.time.hidden = !timed;
    if (!timed) return;
    say(this.play, clock.playing ? "Pause" : "Play");
    say(this.time, `${clock.time.toFixed(2)} ${clock.unit}`);
  }
}
