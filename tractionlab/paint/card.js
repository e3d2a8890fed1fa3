// The browser's part of a card: native inputs with labels, built once; feedback is changed in place
// so that focus stays.

import { BigCard } from "./js/big_card.js";
import { Caller } from "./js/caller.js";
import { Draft } from "./js/draft.js";
import { group, labelled, list, saidBelow, textBox, ticked, unitOf } from "./js/fields.js";
import { freshName, make, say } from "./js/make.js";
import { sketchField } from "./js/sketch.js";
import { table } from "./js/table.js";

function numberField(field, id) {
  const { seen, heard } = unitOf(field.unit, { id: `${id}-unit` });
  const input = textBox(id, {
    inputmode: field.words ? "text" : "decimal",
    class: field.words ? "tl-words" : "",
    "aria-describedby": `${id}-said`,
  });
  const node = labelled(
    field.label,
    input,
    "tl-field",
    make("span", { class: "tl-entry" }, input, seen),
  );
  node.firstChild.appendChild(heard);
  return {
    node,
    read: () => input.value,
    write: (value) => {
      if (document.activeElement !== input || !input.value) input.value = value;
    },
    fix: (on) => input.readOnly = on,
    blame: (on) => input.setAttribute("aria-invalid", String(on)),
  };
}

function choiceField(field, id) {
  const { node, radios } = group(field.label, id, field.options, {
    "aria-describedby": `${id}-said`,
  });
  return {
    node,
    read: () => radios.find((radio) => radio.checked)?.value ?? "",
    write: (value) => radios.forEach((radio) => radio.checked = radio.value === value),
    fix: (on) => radios.forEach((radio) => radio.disabled = on && !radio.checked),
    blame: () => {},
  };
}

// The value of a sketch travels as one text: "0;3,5;;8".
function drawnField(field, id, changed) {
  const made = sketchField({ ...field.sketch, label: field.label }, id, changed);
  return {
    ...made,
    read: () => made.read().join(";"),
    write: (value) => made.write(value.split(";")),
    blame: () => {},
  };
}

// Which of several lines hold: "1;3".
function ticksField(field, id) {
  const boxes = field.ticks.map((_, i) =>
    make("input", { type: "checkbox", id: `${id}-${i}`, value: String(i + 1) })
  );
  const rows = boxes.map((box, i) => ticked(field.ticks[i], box));
  return {
    node: make("fieldset", {}, make("legend", {}, field.label), ...rows),
    read: () => boxes.filter((box) => box.checked).map((box) => box.value).join(";"),
    write: (value) => {
      const on = value.split(";");
      boxes.forEach((box) => box.checked = on.includes(box.value));
    },
    fix: () => {},
    blame: () => {},
  };
}

function listField(field, id) {
  const select = list(field.options, { id, "aria-describedby": `${id}-said` });
  return {
    node: labelled(field.label, select, "tl-field", make("span", { class: "tl-entry" }, select)),
    read: () => select.value,
    write: (value) => {
      if (document.activeElement !== select) select.value = value;
    },
    fix: (on) => select.disabled = on,
    blame: (on) => select.setAttribute("aria-invalid", String(on)),
  };
}

function makerOf(field) {
  if (field.sketch) return drawnField;
  if (field.ticks) return ticksField;
  if (field.list) return listField;
  return field.options ? choiceField : numberField;
}

function render({ model, el }) {
  const id = freshName();
  const root = make("section", { class: "tl-card", "aria-labelledby": `${id}-title` });
  const title = make("p", { class: "tl-title", id: `${id}-title` });
  const body = make("div", { class: "tl-body" });
  const message = make("p", { class: "tl-message", role: "status" });
  const links = make("p", { class: "tl-links" });
  const notice = make("p", { class: "tl-notice", role: "status" });
  const big = new BigCard(root, body, () => fields.find((field) => field.fit));
  const heading = make("div", { class: "tl-heading" }, title, big.button);
  root.prepend(heading, body, links, notice);
  root.addEventListener("keydown", (event) => event.stopPropagation());
  el.append(root);

  const caller = new Caller(
    model,
    root,
    (words) => say(message, `${words} What you typed stays here.`),
    (words) => say(message, words),
  );
  let shape = "",
    fields = [],
    buttons = {},
    hints,
    working,
    draft = new Draft(""),
    checking = false;
  const typed = () => Object.fromEntries(fields.map((field) => [field.name, field.read()]));

  function send(command) {
    const values = typed();
    checking = command === model.get("face").buttons[0][0];
    say(message, "Checking \u2026");
    caller.send({ command, values });
  }

  function build(face) {
    const form = make("form", { novalidate: true });
    if (face.text) form.append(make("p", {}, face.text));
    if (face.data.length) form.append(table("Your numbers", face.data));
    fields = face.fields.map((field, i) => {
      const made = makerOf(field)(field, `${id}-${i}`, () => draft.keep(typed()));
      const said = saidBelow(`${id}-${i}`);
      made.node.append(said);
      form.append(made.node);
      return { name: field.name, said, ...made };
    });
    buttons = {};
    const row = make("div", { class: "tl-buttons" });
    face.buttons.forEach(([name, words], i) => {
      const button = make("button", { type: i === 0 ? "submit" : "button" }, words);
      if (i > 0) button.addEventListener("click", () => send(name));
      buttons[name] = button;
      row.append(button);
    });
    form.addEventListener("input", () => draft.keep(typed()));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (face.buttons.length) send(face.buttons[0][0]);
    });
    hints = make("ol", { class: "tl-hints", "aria-live": "polite" });
    working = make("ol", { class: "tl-working", "aria-live": "polite" });
    form.append(row, message);
    body.replaceChildren(form, hints, working);
  }

  function listLines(node, lines, label) {
    node.hidden = lines.length === 0;
    node.setAttribute("aria-label", label);
    while (node.children.length > lines.length) node.lastChild.remove();
    lines.forEach((line, i) => {
      if (!node.children[i]) node.append(make("li"));
      say(node.children[i], line);
    });
  }

  function show() {
    const face = model.get("face");
    caller.answered();
    if (checking) draft.drop();
    checking = false;
    const wanted = JSON.stringify([
      face.text,
      face.data,
      face.fields.map((f) => [f.name, f.label, f.options, f.ticks, f.sketch]),
      face.buttons.map((b) => b[0]),
    ]);
    if (wanted !== shape) {
      const hadFocus = root.contains(document.activeElement);
      build(face);
      if (shape && hadFocus) body.querySelector("input")?.focus();
      shape = wanted;
    }
    root.classList.toggle("tl-office", Boolean(face.office));
    root.classList.toggle("tl-waits", Boolean(face.waits));
    say(title, face.title);
    big.button.hidden = !face.hall;
    face.fields.forEach((field, i) => {
      fields[i].write(field.value);
      fields[i].fix(field.fixed);
      fields[i].blame(field.mark === "wrong");
      fields[i].node.dataset.mark = field.mark;
      say(fields[i].said, field.message);
    });
    if (draft.name !== new Draft(face.draft).name) {
      draft = new Draft(face.draft);
      const kept = draft.read() ?? {};
      face.fields.forEach((field, i) => {
        if (kept[field.name] && !field.fixed) fields[i].write(kept[field.name]);
      });
    }
    face.buttons.forEach(([name, words, enabled]) => {
      say(buttons[name], words);
      buttons[name].setAttribute("aria-disabled", String(!enabled));
    });
    listLines(hints, face.hints, "Hints");
    listLines(working, face.working, "The working");
    say(message, face.message);
    links.replaceChildren(
      ...(face.links ?? []).map(([words, notebook]) =>
        make("a", { href: notebook, "data-lesson": notebook }, words)
      ),
    );
    say(notice, face.notice);
    big.refresh();
  }

  model.on("change:face", show);
  show();
  return () => {
    big.close();
    caller.answered();
    model.off("change:face", show);
  };
}

export default { render };
