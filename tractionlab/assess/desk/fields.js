// Answer fields of the candidate's desk, one builder for each kind. A builder gives { node, write(value), fix(on), focus() } and calls save(value).

// Calls `save` half a second after the last keystroke, and at once when the field is left.
function whenTyped(input, save) {
  let timer = 0, last = null;
  const now = () => {
    clearTimeout(timer);
    if (input.value !== last) { last = input.value; save(); }
  };
  input.addEventListener("focus", () => { last = input.value; });
  input.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(now, 500); });
  input.addEventListener("change", now);
}

function textInput(id, more = {}) {
  return make("input", { type: "text", inputmode: "decimal", autocomplete: "off", spellcheck: "false", maxlength: 60, id, ...more });
}

function options(pairs, empty) {
  return [make("option", { value: "" }, empty), ...pairs.map(([value, words]) => make("option", { value }, words))];
}

const FIELDS = {
  choice(field, id, save) {
    const set = make("fieldset", {}, make("legend", {}, field.label));
    const radios = field.choices.map(([letter, words], i) => {
      const radio = make("input", { type: "radio", name: id, value: letter, id: `${id}-${i}` });
      radio.addEventListener("change", () => save(letter));
      set.append(make("div", { class: "tl-option" }, radio, make("label", { for: radio.id }, `${letter}) ${words}`)));
      return radio;
    });
    return { node: set,
      write: (value) => radios.forEach((radio) => { radio.checked = radio.value === value; }),
      fix: (on) => radios.forEach((radio) => { radio.disabled = on; }),
      focus: () => (radios.find((radio) => radio.checked) ?? radios[0]).focus() };
  },

  number(field, id, save, paper) {
    const input = textInput(id, { "aria-describedby": `${id}-said` });
    const label = make("label", { for: id }, field.label, field.unit ? make("span", { class: "tl-hidden" }, ` in ${field.unit}`) : "");
    const row = make("div", { class: "tl-entry" }, input);
    let unit = null;
    const value = () => input.value.trim() && unit?.value ? `${input.value.trim()} ${unit.value}` : input.value;
    if (field.unit_asked) {
      unit = make("select", { "aria-label": `Unit for: ${field.label}` }, ...options(paper.units.map((name) => [name, name]), "unit: choose or type"));
      unit.addEventListener("change", () => save(value()));
      row.append(unit);
    } else if (field.unit && field.unit !== "1") row.append(make("span", { class: "tl-unit", "aria-hidden": "true" }, field.unit));
    whenTyped(input, () => save(value()));
    return { node: make("div", { class: "tl-field" }, label, row),
      write: (stored) => {
        const text = stored ?? "";
        const found = unit && paper.units.filter((name) => text.endsWith(` ${name}`)).sort((a, b) => b.length - a.length)[0];
        if (unit) unit.value = found ?? "";
        input.value = found ? text.slice(0, -found.length - 1) : text;
      },
      fix: (on) => { input.readOnly = on; if (unit) unit.disabled = on; },
      focus: () => input.focus() };
  },

  path(field, id, save) {
    const words = Object.fromEntries(field.choices);
    let way = [], fixed = false;
    const list = make("ol", { class: "tl-way", "aria-label": "Your way so far" });
    const next = make("select", { id: `${id}-next` }, ...options(field.choices, "choose a place"));
    const add = make("button", { type: "button" }, "Add");
    const back = make("button", { type: "button" }, "Take the last one back");
    const none = make("input", { type: "checkbox", id: `${id}-none` });
    const show = () => {
      list.replaceChildren(...way.map((place) => make("li", {}, words[place])));
      list.hidden = none.checked;
      for (const node of [next, add, back]) node.disabled = fixed || none.checked;
      none.disabled = fixed;
    };
    const changed = () => { show(); save(none.checked ? "none" : way); };
    add.addEventListener("click", () => { if (next.value) { way = [...(way.length ? way : [field.start]), next.value]; next.value = ""; changed(); next.focus(); } });
    back.addEventListener("click", () => { if (way.length > 1) { way = way.slice(0, -1); changed(); } });
    none.addEventListener("change", changed);
    return { node: make("fieldset", {}, make("legend", {}, field.label),
      make("p", { class: "tl-small" }, `From ${words[field.start]} to ${words[field.goal]}. Add the places one after the other.`), list,
      make("div", { class: "tl-entry" }, make("label", { for: next.id }, "Next place"), next, add, back),
      make("div", { class: "tl-option" }, none, make("label", { for: none.id }, 'There is no way ("none")'))),
      write: (value) => { none.checked = value === "none"; way = Array.isArray(value) && value.length ? value : [field.start]; show(); },
      fix: (on) => { fixed = on; show(); },
      focus: () => next.focus() };
  },

  states(field, id, save) {
    const set = make("fieldset", {}, make("legend", {}, field.label));
    const selects = field.choices.map(([part, name]) => {
      const select = make("select", { id: `${id}-${part}` }, ...options(field.positions[part].map((word) => [word, word]), "choose"));
      select.addEventListener("change", () => save(Object.fromEntries(selects.filter(([, s]) => s.value).map(([key, s]) => [key, s.value]))));
      set.append(make("div", { class: "tl-entry tl-pair" }, make("label", { for: select.id }, name), select));
      return [part, select];
    });
    return { node: set,
      write: (value) => selects.forEach(([part, select]) => { select.value = value?.[part] ?? ""; }),
      fix: (on) => selects.forEach(([, select]) => { select.disabled = on; }),
      focus: () => selects[0][1].focus() };
  },

  tuning(field, id, save) {
    const set = make("fieldset", {}, make("legend", {}, field.label));
    const send = () => save(Object.fromEntries(rows.filter((row) => row.box.value.trim()).map((row) => [row.name, row.box.value.trim()])));
    const rows = field.settings.map((setting) => {
      const unit = setting.unit && setting.unit !== "1" ? ` [${setting.unit}]` : "";
      const step = 10 ** Math.floor(Math.log10((setting.high - setting.low) / 50));
      const slider = make("input", { type: "range", min: setting.low, max: setting.high, step, "aria-label": `${setting.label}${unit}, slider` });
      const box = textInput(`${id}-${setting.name}`, { class: "tl-box" });
      const digits = Math.max(0, -Math.floor(Math.log10(step)));
      slider.addEventListener("input", () => { box.value = Number(slider.value).toFixed(digits); });
      slider.addEventListener("change", send);
      whenTyped(box, () => { follow(); send(); });
      const follow = () => {
        const number = Number(box.value.replace(",", "."));
        slider.value = box.value.trim() && Number.isFinite(number) ? number : (setting.low + setting.high) / 2;
        slider.dataset.set = String(Boolean(box.value.trim()));
      };
      set.append(make("div", { class: "tl-field" }, make("label", { for: box.id }, `${setting.label}${unit}, ${setting.low} to ${setting.high}`),
        make("div", { class: "tl-entry" }, slider, box)));
      return { name: setting.name, slider, box, follow };
    });
    set.append(make("p", { class: "tl-small" }, "Below this form you can try what is saved on a road that you see."));
    return { node: set,
      write: (value) => rows.forEach((row) => { row.box.value = value?.[row.name] ?? ""; row.follow(); }),
      fix: (on) => rows.forEach((row) => { row.box.readOnly = on; row.slider.disabled = on; }),
      focus: () => rows[0].box.focus() };
  },

  case(field) {
    const go = make("button", { type: "button" }, "Go to the bench");
    go.addEventListener("click", () => {
      const head = go.closest(".jp-Cell, body").querySelector(".tl-case .tl-head");
      head?.scrollIntoView({ block: "start" });
      head?.focus({ preventScroll: true });
    });
    return { node: make("div", { class: "tl-field" }, make("p", {}, `${field.label}: the bench is below this form. Every step is saved at once and cannot be undone.`), go), write: () => {}, fix: () => {}, focus: () => {} };
  },

  checklist(field) {
    const steps = field.steps.map((step) => make("li", {}, step.text + (step.gate ? " (must be done: safety)" : "")));
    return { node: make("div", { class: "tl-field" }, make("p", {}, field.label), make("ul", {}, ...steps),
      make("p", { class: "tl-small" }, "Your assessor watches you do this task and fills in the list. There is nothing to type here.")),
      write: () => {}, fix: () => {}, focus: () => {} };
  },

  sketch: sketchField,
};
