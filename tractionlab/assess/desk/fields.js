// Answer fields of the candidate's desk, one builder for each kind. A builder gives { node,
// write(value), fix(on), focus() } and calls save(value).

import {
  group,
  labelFor,
  labelled,
  list,
  textBox,
  ticked,
  unitOf,
  whenTyped,
} from "../../paint/js/fields.js";
import { make } from "../../paint/js/make.js";
import { sketchField } from "../../paint/js/sketch.js";

const paperBox = (id, more) => textBox(id, { spellcheck: "false", maxlength: 60, ...more });

/** @param {[string, string][]} pairs @param {string} empty */
const withEmpty = (pairs, empty) => /** @type {[string, string][]} */ ([["", empty], ...pairs]);

export const FIELDS = {
  choice(field, id, save) {
    const lettered = field.choices.map(([letter, words]) => [letter, `${letter}) ${words}`]);
    const { node, radios } = group(field.label, id, lettered);
    for (const radio of radios) radio.addEventListener("change", () => save(radio.value));
    return {
      node,
      write: (value) =>
        radios.forEach((radio) => {
          radio.checked = radio.value === value;
        }),
      fix: (on) =>
        radios.forEach((radio) => {
          radio.disabled = on;
        }),
      focus: () => (radios.find((radio) => radio.checked) ?? radios[0]).focus(),
    };
  },

  number(field, id, save, paper) {
    const input = paperBox(id, { "aria-describedby": `${id}-said` });
    const { seen, heard } = unitOf(field.unit);
    const row = make("div", { class: "tl-entry" }, input);
    let unit = null;
    const value = () =>
      input.value.trim() && unit?.value ? `${input.value.trim()} ${unit.value}` : input.value;
    if (field.unit_asked) {
      unit = list(withEmpty(paper.units.map((name) => [name, name]), "unit: choose or type"), {
        "aria-label": `Unit for: ${field.label}`,
      });
      unit.addEventListener("change", () => save(value()));
      row.append(unit);
    } else if (field.unit && field.unit !== "1") row.append(seen);
    whenTyped(input, () => save(value()));
    const node = labelled(field.label, input, "tl-field", row);
    if (field.unit) node.firstChild.appendChild(heard);
    return {
      node,
      write: (stored) => {
        const text = stored ?? "";
        const found = unit &&
          paper.units.filter((name) => text.endsWith(` ${name}`)).sort((a, b) =>
            b.length - a.length
          )[0];
        if (unit) unit.value = found ?? "";
        input.value = found ? text.slice(0, -found.length - 1) : text;
      },
      fix: (on) => {
        input.readOnly = on;
        if (unit) unit.disabled = on;
      },
      focus: () => input.focus(),
    };
  },

  path(field, id, save) {
    const words = Object.fromEntries(field.choices);
    let way = [], fixed = false;
    const places = make("ol", { class: "tl-way", "aria-label": "Your way so far" });
    const next = list(withEmpty(field.choices, "choose a place"), { id: `${id}-next` });
    const add = make("button", { type: "button" }, "Add");
    const back = make("button", { type: "button" }, "Take the last one back");
    const none = make("input", { type: "checkbox", id: `${id}-none` });
    const show = () => {
      places.replaceChildren(...way.map((place) => make("li", {}, words[place])));
      places.hidden = none.checked;
      for (const node of [next, add, back]) node.disabled = fixed || none.checked;
      none.disabled = fixed;
    };
    const changed = () => {
      show();
      save(none.checked ? "none" : way);
    };
    add.addEventListener("click", () => {
      if (next.value) {
        way = [...(way.length ? way : [field.start]), next.value];
        next.value = "";
        changed();
        next.focus();
      }
    });
    back.addEventListener("click", () => {
      if (way.length > 1) {
        way = way.slice(0, -1);
        changed();
      }
    });
    none.addEventListener("change", changed);
    return {
      node: make(
        "fieldset",
        {},
        make("legend", {}, field.label),
        make(
          "p",
          { class: "tl-small" },
          `From ${words[field.start]} to ${words[field.goal]}. Add the places one after the other.`,
        ),
        places,
        make("div", { class: "tl-entry" }, labelFor(next, "Next place"), next, add, back),
        ticked('There is no way ("none")', none),
      ),
      write: (value) => {
        none.checked = value === "none";
        way = Array.isArray(value) && value.length ? value : [field.start];
        show();
      },
      fix: (on) => {
        fixed = on;
        show();
      },
      focus: () => next.focus(),
    };
  },

  states(field, id, save) {
    const set = make("fieldset", {}, make("legend", {}, field.label));
    const selects = field.choices.map(([part, name]) => {
      const select = list(withEmpty(field.positions[part].map((word) => [word, word]), "choose"), {
        id: `${id}-${part}`,
      });
      select.addEventListener(
        "change",
        () =>
          save(Object.fromEntries(
            selects.filter(([, s]) => s.value).map(([key, s]) => [key, s.value]),
          )),
      );
      set.append(labelled(name, select, "tl-entry tl-pair"));
      return [part, select];
    });
    return {
      node: set,
      write: (value) =>
        selects.forEach(([part, select]) => {
          select.value = value?.[part] ?? "";
        }),
      fix: (on) =>
        selects.forEach(([, select]) => {
          select.disabled = on;
        }),
      focus: () => selects[0][1].focus(),
    };
  },

  tuning(field, id, save) {
    const set = make("fieldset", {}, make("legend", {}, field.label));
    const send = () =>
      save(
        Object.fromEntries(
          rows.filter((row) => row.box.value.trim()).map((row) => [row.name, row.box.value.trim()]),
        ),
      );
    const rows = field.settings.map((setting) => {
      const unit = setting.unit && setting.unit !== "1" ? ` [${setting.unit}]` : "";
      const step = 10 ** Math.floor(Math.log10((setting.high - setting.low) / 50));
      const slider = make("input", {
        type: "range",
        min: setting.low,
        max: setting.high,
        step,
        "aria-label": `${setting.label}${unit}, slider`,
      });
      const box = paperBox(`${id}-${setting.name}`, { class: "tl-box" });
      const digits = Math.max(0, -Math.floor(Math.log10(step)));
      slider.addEventListener("input", () => {
        box.value = Number(slider.value).toFixed(digits);
      });
      slider.addEventListener("change", send);
      whenTyped(box, () => {
        follow();
        send();
      });
      const follow = () => {
        const number = Number(box.value.replace(",", "."));
        slider.valueAsNumber = box.value.trim() && Number.isFinite(number)
          ? number
          : (setting.low + setting.high) / 2;
        slider.dataset.set = String(Boolean(box.value.trim()));
      };
      set.append(
        labelled(
          `${setting.label}${unit}, ${setting.low} to ${setting.high}`,
          box,
          "tl-field",
          make("div", { class: "tl-entry" }, slider, box),
        ),
      );
      return { name: setting.name, slider, box, follow };
    });
    set.append(
      make(
        "p",
        { class: "tl-small" },
        "Below this form you can try what is saved on a road that you see.",
      ),
    );
    return {
      node: set,
      write: (value) =>
        rows.forEach((row) => {
          row.box.value = value?.[row.name] ?? "";
          row.follow();
        }),
      fix: (on) =>
        rows.forEach((row) => {
          row.box.readOnly = on;
          row.slider.disabled = on;
        }),
      focus: () => rows[0].box.focus(),
    };
  },

  case(field) {
    const go = make("button", { type: "button" }, "Go to the bench");
    // The first bench takes some seconds: whoever is quicker gets there as soon as it stands.
    const goThere = (tries) => {
      /** @type {HTMLElement | null} */
      const head = go.closest(".jp-Cell, body")?.querySelector(".tl-case .tl-head");
      if (!head && tries) return setTimeout(goThere, 200, tries - 1);
      head?.scrollIntoView({ block: "start" });
      head?.focus({ preventScroll: true });
    };
    go.addEventListener("click", () => goThere(150));
    return {
      node: make(
        "div",
        { class: "tl-field" },
        make(
          "p",
          {},
          `${field.label}: the bench is below this form. ` +
            `Every step is saved at once and cannot be undone.`,
        ),
        go,
      ),
      write: () => {},
      fix: () => {},
      focus: () => {},
    };
  },

  checklist(field) {
    const steps = field.steps.map((step) =>
      make("li", {}, step.text + (step.gate ? " (must be done: safety)" : ""))
    );
    return {
      node: make(
        "div",
        { class: "tl-field" },
        make("p", {}, field.label),
        make("ul", {}, ...steps),
        make(
          "p",
          { class: "tl-small" },
          "Your assessor watches you do this task and fills in the list. " +
            "There is nothing to type here.",
        ),
      ),
      write: () => {},
      fix: () => {},
      focus: () => {},
    };
  },

  sketch: sketchField,
};
