// The candidate's desk: head with clock and progress, one item at a time, hand in. What is typed and not yet confirmed is sent again after a break.
function render({ model, el }) {
  const paper = model.get("paper"), id = freshName();
  const waitingKey = `tractionlab ${paper.sitting} ${paper.candidate}`;
  const root = make("section", { class: `tl-desk${paper.larger_print ? " tl-larger" : ""}`, "aria-labelledby": `${id}-title` });
  root.addEventListener("keydown", (event) => event.stopPropagation());
  const title = make("p", { class: "tl-title", id: `${id}-title` }, paper.title);
  const clock = make("p", { class: "tl-clock", role: "timer", "aria-label": "Time left" });
  const done = make("p", { class: "tl-done" });
  const bar = make("progress", { max: paper.items.length, value: 0, "aria-label": "Items answered" });
  const saved = make("p", { class: "tl-saved", role: "status" });
  const spoken = make("p", { class: "tl-hidden", role: "status" });
  const notice = make("p", { class: "tl-notice", role: "alert" });
  const body = make("div"), message = make("p", { class: "tl-message", role: "status" });
  root.append(make("header", {}, title, clock, make("div", { class: "tl-count" }, done, bar), saved), spoken, notice, body, message);
  el.append(root);

  let phase = "", here = 0, fields = [], asks = 0, endsAt = 0, said = null, feedback = null, figure = null;
  const answers = structuredClone(model.get("face").answers ?? {});
  const open = new Map();

  const fill = (item) => item.fields.filter((field) => field.kind !== "checklist");
  const full = (value) => value !== undefined && value !== null && (typeof value === "string" ? value.trim() !== "" : Array.isArray(value) ? value.some((v) => v !== "") && value.length > 1 : Object.keys(value).length > 0);
  const state = (item) => {
    const asked = fill(item), given = asked.filter((field) => full(answers[item.id]?.[field.name])).length;
    return !asked.length ? "watched by the assessor" : given === asked.length ? "answered" : given ? "partly" : "empty";
  };

  function keepWaiting() {
    try { sessionStorage.setItem(waitingKey, JSON.stringify([...open.values()].map((one) => [one.item, one.field, one.value]))); } catch { /* private mode */ }
  }

  function save(item, field, value) {
    (answers[item] ??= {})[field] = value;
    const ask = ++asks;
    for (const [key, one] of open) if (one.item === item && one.field === field) open.delete(key);
    open.set(ask, { item, field, value });
    keepWaiting();
    say(saved, "Saving \u2026");
    setTimeout(() => { if (open.has(ask)) warn(); }, PATIENCE);
    send({ command: "save", item, field, value, ask });
    progress();
  }

  // A pressed button that gets no answer says so beside the buttons.
  const caller = new Caller(model, root, (words) => say(message, words), (words) => say(message, words));

  // A lost kernel closes the line: sending then fails at once.
  function send(message) {
    try { model.send(message); } catch { warn(); }
  }

  function warn() {
    say(notice, `NOT saved: no answer from the machine. ${wayOn(root)} If that does not help: menu Kernel, Restart Kernel and Run All Cells. What you typed is kept in this window.`);
  }

  function hear(told) {
    if (told.kind === "saved" || told.kind === "refused") {
      const one = open.get(told.ask);
      open.delete(told.ask);
      keepWaiting();
      if (told.kind === "saved") {
        if (!open.size) { say(saved, `Saved at ${told.at}`); say(notice, model.get("face").notice ?? ""); }
      } else { say(saved, ""); say(notice, told.words); }
      if (one && paper.items[here]?.id === one.item) {
        const mine = fields.find((field) => field.name === one.field);
        if (mine) say(mine.said, told.kind === "saved" ? told.words : "");
      }
    } else if (told.kind === "step") {
      (answers[told.item] ??= {})[told.field] = Array(told.steps).fill("step");
      say(saved, `Saved at ${told.at}`);
      progress();
    } else if (told.kind === "picture" && paper.items[here]?.id === told.item && figure) figure.innerHTML = told.html;
    else if (told.kind === "feedback" && paper.items[here]?.id === told.item && feedback) {
      answered();
      const curve = make("li", { class: "tl-figure" });
      curve.innerHTML = told.html;
      feedback.replaceChildren(...told.lines.map((line) => make("li", {}, line)), ...(told.html ? [curve] : []));
    }
  }

  function progress() {
    const asked = paper.items.filter((item) => fill(item).length);
    const given = asked.filter((item) => state(item) === "answered").length;
    bar.max = asked.length; bar.value = given;
    say(done, `${given} of ${asked.length} answered`);
    const picker = body.querySelector(".tl-picker");
    if (picker) paper.items.forEach((item, i) => { const words = `${i + 1}  ${item.title}: ${state(item)}`; if (picker.options[i].textContent !== words) picker.options[i].textContent = words; });
    const left = body.querySelector(".tl-left");
    if (left) say(left, given < asked.length ? `${asked.length - given} ${asked.length - given > 1 ? "items are" : "item is"} not answered, or not in full.` : "All items are answered.");
  }

  function showItem(place, focus) {
    here = place;
    const item = paper.items[here], box = body.querySelector(".tl-item");
    figure = item.picture ? make("div", { class: "tl-figure" }, make("p", { class: "tl-small" }, "The picture is being drawn \u2026")) : null;
    fields = item.fields.map((field, i) => {
      const build = FIELDS[field.kind] ?? FIELDS.number;
      const made = build(field, `${id}-${here}-${i}`, (value) => save(item.id, field.name, value), paper);
      const note = make("p", { class: "tl-said", id: `${id}-${here}-${i}-said`, role: "status" });
      made.write(answers[item.id]?.[field.name]);
      made.fix(phase !== "working");
      return { name: field.name, said: note, ...made, node: make("div", {}, made.node, note) };
    });
    const heading = make("h3", { tabindex: -1 }, `${here + 1}  ${item.title}`);
    const rows = item.given.map(([label, value]) => make("tr", {}, make("th", { scope: "row" }, label), make("td", {}, value)));
    box.replaceChildren(heading, make("p", { class: "tl-small" }, `${item.marks} mark${item.marks === 1 ? "" : "s"}, about ${item.minutes} minutes`),
      ...item.text.split("\n").filter((line) => line.trim()).map((line) => make("p", {}, line)),
      ...(rows.length ? [make("table", {}, make("caption", { class: "tl-hidden" }, "Data sheet"), make("tbody", {}, ...rows))] : []),
      ...(figure ? [figure] : []), ...fields.map((field) => field.node));
    send({ command: "item", item: item.id });
    if (paper.practice) {
      const button = make("button", { type: "button" }, "Check this answer");
      feedback = make("ul", { class: "tl-feedback", "aria-live": "polite" });
      button.addEventListener("click", () => caller.send({ command: "check", item: item.id }));
      box.append(button, feedback);
    }
    body.querySelector(".tl-picker").selectedIndex = here;
    body.querySelector(".tl-before").disabled = here === 0;
    body.querySelector(".tl-after").disabled = here === paper.items.length - 1;
    if (focus) heading.focus();
  }

  function buildWork() {
    const picker = make("select", { class: "tl-picker", id: `${id}-picker` }, ...paper.items.map(() => make("option")));
    const before = make("button", { type: "button", class: "tl-before" }, "Previous item"), after = make("button", { type: "button", class: "tl-after" }, "Next item");
    picker.addEventListener("change", () => showItem(picker.selectedIndex, false));
    before.addEventListener("click", () => showItem(here - 1, true));
    after.addEventListener("click", () => showItem(here + 1, true));
    const parts = [make("nav", { "aria-label": "Items" }, make("label", { for: picker.id }, "Item"), picker, before, after), make("div", { class: "tl-item" })];
    if (!paper.practice) {
      const own = make("input", { type: "checkbox", id: `${id}-own` });
      const hand = make("button", { type: "submit", "aria-disabled": "true" }, "Hand in");
      own.addEventListener("change", () => hand.setAttribute("aria-disabled", String(!own.checked)));
      const form = make("form", { class: "tl-hand-in" }, make("p", { class: "tl-title" }, "Hand in"), make("p", { class: "tl-left" }),
        make("div", { class: "tl-option" }, own, make("label", { for: own.id }, "I worked alone, with no help but what the supervisor allowed. After this I cannot change anything.")), hand);
      form.addEventListener("submit", (event) => {
        event.preventDefault();
        if (!own.checked) return say(message, "Tick the declaration first.");
        say(message, "Handing in \u2026");
        caller.send({ command: "hand_in", own_work: true });
      });
      parts.push(form, supervisor());
    }
    body.replaceChildren(...parts);
    showItem(here, false);
  }

  // Time that was lost to a broken machine: the supervisor enters it here, by name.
  function supervisor() {
    const line = (name, words, more) => {
      const input = make("input", { type: "text", id: `${id}-${name}`, autocomplete: "off", ...more });
      return [input, make("div", { class: "tl-option" }, make("label", { for: input.id }, words), input)];
    };
    const [minutes, first] = line("lost", "Lost minutes", { inputmode: "numeric", size: "4" });
    const [by, second] = line("lost-by", "Name of the supervisor", { maxlength: "200" });
    const [reason, third] = line("lost-reason", "Reason", { maxlength: "200" });
    const form = make("form", {}, first, second, third, make("button", { type: "submit" }, "Give the time back"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      caller.send({ command: "lost_time", minutes: minutes.value, by: by.value, reason: reason.value });
    });
    return make("details", { class: "tl-supervisor" }, make("summary", {}, "For the supervisor: give lost time back"), form);
  }

  function buildReady() {
    const begin = make("button", { type: "submit" }, "Start");
    const form = make("form", {}, make("p", {}, paper.practice ? "Press Start when you are ready." :
      `You have ${paper.minutes} minutes. The clock runs as soon as you press Start, and it goes on if you close the window.`), begin);
    form.addEventListener("submit", (event) => { event.preventDefault(); caller.send({ command: "start" }); });
    body.replaceChildren(form);
  }

  function buildOver(face) {
    const file = make("code", {}, face.file), number = make("strong", { class: "tl-number" }, face.number);
    body.replaceChildren(make("p", { class: "tl-title" }, "Handed in"),
      make("p", {}, "Send the file ", file, " from this folder to your assessor, or leave it where the supervisor says."),
      make("p", {}, "Its check number is ", number, ". Write it down."));
  }

  function tick() {
    if (paper.practice || phase === "handed_in") return say(clock, "");
    const left = phase === "ready" ? 60 * paper.minutes : Math.max(0, Math.round((endsAt - performance.now()) / 1000));
    const hours = Math.floor(left / 3600), minutes = Math.floor(left / 60) % 60, rest = left % 60;
    say(clock, `Time left ${hours ? `${hours}:${String(minutes).padStart(2, "0")}` : minutes}:${String(rest).padStart(2, "0")}`);
    clock.dataset.short = String(left <= 300 && phase !== "ready");
    const mark = [60, 300, 600].find((limit) => left <= limit);
    if (mark && mark !== said && phase === "working") { said = mark; say(spoken, `${mark / 60} minute${mark === 60 ? "" : "s"} left`); }
    if (left === 0 && phase === "working") { phase = "over"; shown(); }
  }

  function shown() {
    if (phase === "ready") return buildReady();
    if (phase === "handed_in") return buildOver(model.get("face"));
    buildWork();
    if (phase === "over") say(message, "The time is over. Hand in now.");
  }

  // Another page of the desk is shorter or longer than the one before: begin at its top, with the reader there.
  function reveal() {
    const begin = body.querySelector("h3, .tl-title");
    begin?.setAttribute("tabindex", "-1");
    begin?.focus({ preventScroll: true });
    requestAnimationFrame(() => root.scrollIntoView({ block: "start" }));
  }

  function answered() {
    caller.answered();
    say(message, "");
  }

  function show() {
    const face = model.get("face");
    caller.answered();
    endsAt = performance.now() + 1000 * face.seconds_left;
    say(notice, face.notice);
    if (face.phase !== phase) {
      const before = phase;
      phase = face.phase;
      shown();
      if (before) reveal();
    }
    if (face.message) say(message, face.message);
    else if (phase === "handed_in") say(message, "");
    progress();
    tick();
  }

  function sendAgain() {
    let waiting = [];
    try { waiting = JSON.parse(sessionStorage.getItem(waitingKey) ?? "[]"); } catch { /* private mode or foreign content */ }
    if (model.get("face").phase !== "working") return;
    for (const [item, field, value] of waiting) if (paper.items.some((one) => one.id === item && one.fields.some((f) => f.name === field))) save(item, field, value);
  }

  model.on("change:face", show);
  model.on("msg:custom", hear);
  const timer = setInterval(tick, 500);
  sendAgain();
  show();
  return () => { clearInterval(timer); caller.answered(); model.off("change:face", show); model.off("msg:custom", hear); };
}

export default { render };
