// Controls: native inputs with label, unit, number box and spoken value.

import { labelled, list, textBox, ticked } from "./fields.js";
import { freshName, make } from "./make.js";
import { onStepKeys } from "./step_keys.js";
import { makeProbes, makePulled } from "./wiring_controls.js";

const SPOKEN = {
  "%": "percent",
  "km/h": "kilometres per hour",
  "m/s": "metres per second",
  "N": "newtons",
  "kN": "kilonewtons",
  "N m": "newton metres",
  "bar": "bar",
  "s": "seconds",
  "ms": "milliseconds",
  "m": "metres",
  "mm": "millimetres",
  "kg": "kilograms",
  "rad/s": "radians per second",
  "deg": "degrees",
  "°": "degrees",
  "°C": "degrees Celsius",
  "1/min": "turns per minute",
};

// A choice with more letters than these does not fit beside the picture: its panel has the controls
// above.
const WIDE_WORDS = 24, LONG_WORDS = 40;

// Each control has `node`, `set(value)`; it calls `moved(value)` while moving and `settled()` when
// let go.
function makeSlider(spec, moved, settled, say) {
  const id = freshName();
  const digits = Math.max(0, Math.min(4, -Math.floor(Math.log10(spec.step) + 1e-9)));
  const unit = spec.unit ? ` [${spec.unit}]` : "";
  const spoken = SPOKEN[spec.unit] || spec.unit;
  // Where a value stands on the slider, and what a place on it means: a fine one grows with the
  // square of its way.
  const span = spec.high - spec.low;
  const place = (value) => (spec.fine ? Math.sqrt((value - spec.low) / span) : value);
  const meant = (way) => (spec.fine ? spec.low + span * way ** 2 : way);
  const range = make("input", {
    type: "range",
    id,
    min: spec.fine ? 0 : spec.low,
    max: spec.fine ? 1 : spec.high,
    step: "any",
  });
  const box = textBox(null, {
    class: "tl-box",
    "aria-label": `${spec.label} as a number${spoken ? `, ${spoken}` : ""}`,
  });
  const written = (value) => String(Number(value.toFixed(Math.max(digits, 2))));
  let current = spec.value;
  let pause = null;
  const show = (value, typed) => {
    current = value;
    range.value = place(value);
    range.setAttribute("aria-valuetext", `${written(value)} ${spoken}`.trim());
    if (!typed) box.value = written(value);
  };
  const onStep = (value) => {
    const steps = Math.round((value - spec.low) / spec.step);
    return Math.min(spec.high, Number((spec.low + steps * spec.step).toFixed(9)));
  };
  range.addEventListener("input", () => {
    const value = onStep(meant(Number(range.value)));
    if (value !== current) {
      show(value);
      moved(value);
    } else range.value = place(current);
  });
  range.addEventListener("change", settled);
  onStepKeys(range, (count) => step(count));
  const step = (count) => {
    const value = Math.max(
      spec.low,
      Math.min(spec.high, Number((current + count * spec.step).toFixed(9))),
    );
    if (value === current) return;
    show(value);
    moved(value);
    clearTimeout(pause);
    pause = setTimeout(settled, 600);
  };
  const typed = () => {
    const words = box.value.trim(),
      bare = spec.unit && words.endsWith(spec.unit)
        ? words.slice(0, -spec.unit.length).trim()
        : words;
    const value = Number(bare.replace(",", ".").replace("\u2212", "-"));
    if (bare === "" || !Number.isFinite(value)) {
      say(
        `${words ? `"${words}" is not a number.` : "The box is empty."} ${spec.label} stays at ${
          written(current)
        } ${spec.unit}.`,
      );
      show(current);
      return;
    }
    const kept = Math.max(spec.low, Math.min(spec.high, value)), changed = kept !== current;
    show(kept);
    if (changed) {
      moved(kept);
      settled();
    }
    if (kept !== value) {
      say(
        `${spec.label} goes from ${written(spec.low)} to ${
          written(spec.high)
        } ${spec.unit}. It was set to ${written(kept)}.`,
      );
    }
  };
  box.addEventListener("change", typed);
  box.addEventListener("keydown", (event) => {
    if (event.key === "ArrowUp") {
      event.preventDefault();
      step(1);
    }
    if (event.key === "ArrowDown") {
      event.preventDefault();
      step(-1);
    }
  });
  show(spec.value);
  const node = labelled(
    spec.label + unit,
    range,
    "tl-control",
    make("div", { class: "tl-row" }, range, box),
  );
  return { node, set: show };
}

function makeChoice(spec, moved, settled) {
  const select = list(spec.options, { id: freshName() });
  select.value = spec.value;
  select.addEventListener("change", () => {
    moved(select.value);
    settled();
  });
  const longest = Math.max(...spec.options.map(([, words]) => words.length));
  const wide = longest > LONG_WORDS ? " tl-long" : longest > WIDE_WORDS ? " tl-half" : "";
  return {
    node: labelled(spec.label, select, `tl-control${wide}`),
    set: (value) => {
      select.value = value;
    },
  };
}

function makeSwitch(spec, moved, settled) {
  const box = make("input", { type: "checkbox", id: freshName() });
  box.checked = spec.value;
  box.addEventListener("change", () => {
    moved(box.checked);
    settled();
  });
  return {
    node: ticked(spec.label, box, "tl-control tl-switch"),
    set: (value) => {
      box.checked = value;
    },
  };
}

const MAKERS = {
  Slider: makeSlider,
  Choice: makeChoice,
  Switch: makeSwitch,
  Probes: makeProbes,
  Pulled: makePulled,
};

// All controls of a panel, their values, and the way back: undo of the last change, reset to the
// start.
export class Controls {
  constructor(host, specs, values, whenMoved, say) {
    this.whenMoved = whenMoved;
    this.start = Object.fromEntries(specs.map((spec) => [spec.name, spec.value]));
    this.values = { ...values };
    this.kept = { ...values };
    this.past = [];
    this.future = [];
    this.parts = {};
    for (const spec of specs) {
      const moved = (value) => {
        this.values = { ...this.values, [spec.name]: value };
        this.arrange();
        this.whenMoved();
      };
      const part = MAKERS[spec.kind](
        { ...spec, value: values[spec.name] },
        moved,
        () => this.settle(),
        say,
      );
      this.parts[spec.name] = { ...part, when: spec.when };
      host.append(part.node);
    }
    this.arrange();
  }

  // A control that belongs to one choice only is there while that is chosen.
  arrange() {
    for (const { node, when } of Object.values(this.parts)) {
      if (when?.length) node.hidden = this.values[when[0]] !== when[1];
    }
  }

  settle() {
    if (Object.keys(this.values).every((name) => this.values[name] === this.kept[name])) return;
    this.past.push(this.kept);
    this.future = [];
    this.kept = { ...this.values };
  }

  show(values) {
    this.values = { ...values };
    for (const [name, value] of Object.entries(values)) this.parts[name].set(value);
    this.arrange();
  }

  // Values changed in the picture itself, as by a click on a point.
  change(values) {
    this.show({ ...this.values, ...values });
    this.settle();
    this.whenMoved();
  }

  // Parts that say what the picture says.
  tell(shown) {
    for (const part of Object.values(this.parts)) part.tell?.(shown);
  }

  // Values set from elsewhere (Python, a second display).
  accept(values) {
    if (Object.keys(values).every((name) => this.values[name] === values[name])) return;
    this.show(values);
    this.settle();
  }

  // Back to the values of the last picture: the change since then got no answer.
  back(values) {
    const place = this.past.findLastIndex((past) =>
      JSON.stringify(past) === JSON.stringify(values)
    );
    if (place >= 0) this.past.length = place;
    this.future = [];
    this.show(values);
    this.kept = this.values;
  }

  get changed() {
    return this.past.length > 0 ||
      Object.keys(this.values).some((name) => this.values[name] !== this.kept[name]);
  }

  undo() {
    this.settle();
    this.step(this.past, this.future);
  }

  redo() {
    this.settle();
    this.step(this.future, this.past);
  }

  // The last of one list is shown, and what was shown goes to the end of the other.
  step(from, to) {
    if (!from.length) return;
    to.push(this.kept);
    this.kept = from.pop();
    this.show(this.kept);
    this.whenMoved();
  }

  reset() {
    this.settle();
    this.show(this.start);
    this.settle();
    this.whenMoved();
  }
}
