// The browser's part of a card: native inputs with labels, built once; feedback is changed in place so that focus stays.

function numberField(field, id) {
  const input = make("input", { type: "text", inputmode: field.words ? "text" : "decimal", class: field.words ? "tl-words" : "", autocomplete: "off", id, "aria-describedby": `${id}-said` });
  const unit = make("span", { class: "tl-unit", id: `${id}-unit` }, field.unit);
  const label = make("label", { for: id }, field.label);
  const said = make("p", { class: "tl-said", id: `${id}-said` });
  const spoken = field.unit ? ` in ${field.unit}` : "";
  label.append(make("span", { class: "tl-hidden" }, spoken));
  unit.setAttribute("aria-hidden", "true");
  return { node: make("div", { class: "tl-field" }, label, make("span", { class: "tl-entry" }, input, unit), said), said,
    read: () => input.value,
    write: (value) => { if (document.activeElement !== input || !input.value) input.value = value; },
    fix: (on) => { input.readOnly = on; },
    blame: (on) => input.setAttribute("aria-invalid", String(on)) };
}

function choiceField(field, id) {
  const set = make("fieldset", { "aria-describedby": `${id}-said` }, make("legend", {}, field.label));
  const radios = field.options.map(([key, words], i) => {
    const radio = make("input", { type: "radio", name: id, value: key, id: `${id}-${i}` });
    set.append(make("div", { class: "tl-option" }, radio, make("label", { for: radio.id }, words)));
    return radio;
  });
  const said = make("p", { class: "tl-said", id: `${id}-said` });
  set.append(said);
  return { node: set, said,
    read: () => radios.find((radio) => radio.checked)?.value ?? "",
    write: (value) => radios.forEach((radio) => { radio.checked = radio.value === value; }),
    fix: (on) => radios.forEach((radio) => { radio.disabled = on && !radio.checked; }),
    blame: () => {} };
}

function listField(field, id) {
  const select = make("select", { id, "aria-describedby": `${id}-said` }, ...field.options.map(([key, words]) => make("option", { value: key }, words)));
  const said = make("p", { class: "tl-said", id: `${id}-said` });
  return { node: make("div", { class: "tl-field" }, make("label", { for: id }, field.label), make("span", { class: "tl-entry" }, select), said), said,
    read: () => select.value,
    write: (value) => { if (document.activeElement !== select) select.value = value; },
    fix: (on) => { select.disabled = on; },
    blame: (on) => select.setAttribute("aria-invalid", String(on)) };
}

function render({ model, el }) {
  const id = freshName();
  const root = make("section", { class: "tl-card", "aria-labelledby": `${id}-title` });
  const title = make("p", { class: "tl-title", id: `${id}-title` });
  const body = make("div");
  const message = make("p", { class: "tl-message", role: "status" });
  const links = make("p", { class: "tl-links" });
  const notice = make("p", { class: "tl-notice", role: "status" });
  root.append(title, body, message, links, notice);
  root.addEventListener("keydown", (event) => event.stopPropagation());
  el.append(root);

  const caller = new Caller(model, root, (words) => say(message, `${words} What you typed stays here.`), (words) => say(message, words));
  let shape = "", fields = [], buttons = {}, hints, working, draft = new Draft(""), checking = false;
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
    if (face.data.length) {
      const rows = face.data.map(([label, value]) => make("tr", {}, make("th", { scope: "row" }, label), make("td", {}, value)));
      form.append(make("table", {}, make("caption", { class: "tl-hidden" }, "Your numbers"), make("tbody", {}, ...rows)));
    }
    fields = face.fields.map((field, i) => {
      const made = (field.list ? listField : field.options ? choiceField : numberField)(field, `${id}-${i}`);
      form.append(made.node);
      return { name: field.name, ...made };
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
    form.append(row);
    body.replaceChildren(form, hints, working);
  }

  function list(node, lines, label) {
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
    const wanted = JSON.stringify([face.text, face.data, face.fields.map((f) => [f.name, f.label, f.options]), face.buttons.map((b) => b[0])]);
    if (wanted !== shape) {
      const hadFocus = root.contains(document.activeElement);
      build(face);
      if (shape && hadFocus) body.querySelector("input")?.focus();
      shape = wanted;
    }
    root.classList.toggle("tl-office", Boolean(face.office));
    root.classList.toggle("tl-waits", Boolean(face.waits));
    say(title, face.title);
    face.fields.forEach((field, i) => {
      fields[i].write(field.value);
      fields[i].fix(field.fixed);
      fields[i].blame(field.mark === "wrong");
      fields[i].node.dataset.mark = field.mark;
      say(fields[i].said, field.message);
    });
    if (draft.name !== new Draft(face.draft).name) {
      draft = new Draft(face.draft);
      const kept = draft.read();
      face.fields.forEach((field, i) => { if (kept[field.name] && !field.fixed) fields[i].write(kept[field.name]); });
    }
    face.buttons.forEach(([name, words, enabled]) => {
      say(buttons[name], words);
      buttons[name].setAttribute("aria-disabled", String(!enabled));
    });
    list(hints, face.hints, "Hints");
    list(working, face.working, "The working");
    say(message, face.message);
    links.replaceChildren(...(face.links ?? []).map(([words, notebook]) => make("a", { href: notebook, "data-lesson": notebook }, words)));
    say(notice, face.notice);
  }

  model.on("change:face", show);
  show();
  return () => {
    caller.answered();
    model.off("change:face", show);
  };
}

export default { render };
