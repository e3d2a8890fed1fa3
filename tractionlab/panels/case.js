// The browser's part of the workshop bench: native controls, sections that are built once, lists that change in place.

function section(title, ...children) {
  return make("section", { class: "tl-part" }, make("h4", {}, title), ...children);
}

function choice(id, label, options, selected = "") {
  const select = make("select", { id }, ...options.map(([key, words]) => make("option", { value: key, selected: key === selected }, words)));
  return [make("div", { class: "tl-field" }, make("label", { for: id }, label), select), select];
}

function table(caption, head, rows) {
  return make("table", {}, make("caption", { class: "tl-hidden" }, caption),
    make("thead", {}, make("tr", {}, ...head.map((words) => make("th", { scope: "col" }, words)))),
    make("tbody", {}, ...rows.map((row) => make("tr", {}, ...row.map((cell, i) => make(i ? "td" : "th", i ? {} : { scope: "row" }, String(cell)))))));
}

function render({ model, el }) {
  const id = freshName();
  const root = make("section", { class: "tl-case", "aria-labelledby": `${id}-title` });
  root.addEventListener("keydown", (event) => event.stopPropagation());
  el.append(root);
  const face = () => model.get("face");
  const first = model.get("words");
  let busy = false;
  const caller = new Caller(model, root, (words) => { busy = false; answer(`${words} What you typed stays here.`); }, (words) => answer(words));
  // One step at a time: a second click on the same button must not cost its minutes twice.
  const send = (command, values = {}) => {
    if (busy) return answer("One step at a time: the one before is still at work. Press again when it is done.");
    busy = true;
    answer("Working \u2026");
    caller.send({ command, values });
  };
  // The answer is read out, and for the eye it stands below the button that was pressed.
  const echo = make("p", { class: "tl-echo", "aria-hidden": "true" });
  const answer = (words) => { say(said, words); say(echo, words); };
  const button = (words, act, main = false) => {
    const node = make("button", { type: "button", class: main ? "tl-main" : "" }, words);
    node.addEventListener("click", () => { node.closest(".tl-buttons")?.after(echo); act(); });
    return node;
  };

  const clock = make("p", { class: "tl-clock" });
  const said = make("p", { class: "tl-hidden", role: "status" });
  const head = make("div", { class: "tl-head", tabindex: "-1" }, make("h3", { id: `${id}-title` }, first.title), clock);
  const complaint = section("The customer says", make("blockquote", {}, first.complaint), make("p", {}, `In short: ${first.symptom}.`));
  const read = button("I have read the cautions", () => send("cautions"), true);
  const cautions = section("Cautions", make("ul", {}, ...first.cautions.map(([title, text]) => make("li", {}, make("strong", {}, `${title}. `), text))),
    make("p", {}, "An unsafe step ends the case. The maker's workshop information and local rules come first."), read);

  // tests
  const [testField, test] = choice(`${id}-test`, "Test", first.tests.map(([key, name, , minutes]) => [key, `${key}  ${name}  (${minutes} min)`]));
  const does = make("p", { class: "tl-does" });
  const warn = make("ul", { class: "tl-warn" });
  const boxes = first.preparations.map(([key, words]) => {
    const box = make("input", { type: "checkbox", id: `${id}-${key}`, value: key });
    return [box, make("div", { class: "tl-option" }, box, make("label", { for: box.id }, words))];
  });
  const [conditionField, condition] = choice(`${id}-condition`, "Drive under the conditions of", first.conditions);
  const take = button("", () => send("test", { test: test.value, prepared: boxes.filter(([box]) => box.checked).map(([box]) => box.value),
    condition: test.value === "T28" ? condition.value : "" }), true);
  const chosen = () => {
    const entry = first.tests.find(([key]) => key === test.value);
    does.textContent = entry[2];
    warn.replaceChildren(...entry[4].map((words) => make("li", {}, words)));
    warn.hidden = entry[4].length === 0;
    conditionField.hidden = entry[0] !== "T28";
    take.textContent = `Take ${entry[0]}: ${entry[3]} minutes, cannot be undone`;
  };
  test.addEventListener("change", () => { boxes.forEach(([box]) => { box.checked = false; }); chosen(); });
  const hint = button("Hint (minus 5 points)", () => send("hint"));
  const choose = section("Choose a test", testField, does, warn,
    make("fieldset", {}, make("legend", {}, "Done before? Tick what this test needs."), ...boxes.map(([, node]) => node)), conditionField,
    make("div", { class: "tl-buttons" }, take, hint));

  let opened = null;
  const groups = first.groups.map(([group, words]) => {
    const node = button(`Measure at: ${words.toLowerCase()}`, () => { opened = node; send("measure_at", { group }); });
    return node;
  });
  const measure = section("Measure in the wiring", make("p", {}, `Meter, clamp and oscilloscope at points that you choose yourself. Each reading takes ${first.reading_minutes} minutes and cannot be undone.`),
    make("div", { class: "tl-buttons" }, ...groups));
  const back = button("Back to the case", () => send("back"));
  const wiring = make("section", { class: "tl-part" }, make("div", { class: "tl-buttons" }, back));

  const readings = make("div", { class: "tl-readings" }), none = make("p", {}, "None yet.");
  const taken = section("Readings, newest first", none, readings);
  const leftList = make("ul", { class: "tl-left" });
  const leftCount = make("p", { tabindex: "-1" });
  const crossed = () => [...leftList.querySelectorAll("input:checked")].map((box) => box.value);
  const cross = make("div", { class: "tl-buttons" }, button("Cross out what I ticked", () => { leftCount.focus(); send("cross", { out: crossed() }); }, true));
  const possible = section("Still possible (practice)", leftCount, leftList, cross);

  // decision
  const [placeField, place] = choice(`${id}-place`, "Place", [["", "choose"], ...first.places.map((name) => [name, name])]);
  const [kindField, kind] = choice(`${id}-kind`, "Kind of fault", [["", "choose"], ...first.kinds]);
  const [whyField, why] = choice(`${id}-why`, "Why it happened", [["", "choose"], ...first.whys]);
  const repair = section("Repair", make("p", {}, `Each repair takes ${first.repair_minutes} minutes. A part that was not at fault costs points.`), placeField, kindField, whyField,
    make("div", { class: "tl-buttons" }, button("Repair", () => send("repair", { place: place.value, kind: kind.value, why: why.value }), true),
      button(`Clear the memory (${first.clear_minutes} min)`, () => send("clear"))));
  const text = make("textarea", { id: `${id}-note`, rows: "2" });
  const keep = keepDraft(text, `note ${model.get("draft") || first.complaint}`);
  const note = section("Record", make("div", { class: "tl-field" }, make("label", { for: `${id}-note` }, "Note with value, unit and place, before and after"), text),
    make("div", { class: "tl-buttons" }, button("Write down", () => send("note", { text: text.value }))));
  const [firstField, one] = choice(`${id}-one`, "Suspected fault", first.suspects);
  const [secondField, two] = choice(`${id}-two`, "Second one, if you cannot tell", first.suspects);
  const [nextField, next] = choice(`${id}-next`, "Next I would do", first.tests.map(([key, name]) => [key, `${key}  ${name}`]));
  const end = section("End", make("div", { class: "tl-buttons" }, button("Hand the car over", () => send("finish"), true)),
    make("details", {}, make("summary", {}, "Honest stop: not proven"), firstField, secondField, nextField,
      make("div", { class: "tl-buttons" }, button("Stop here", () => send("honest_stop", { suspected: [one.value, two.value], next: next.value })))));
  const lineList = make("ol", { class: "tl-line" });
  const line = section("Time line", lineList);
  const result = make("section", { class: "tl-part tl-result", tabindex: "-1", "aria-label": "Result" });
  const work = make("div", { class: "tl-work" }, make("div", {}, choose, measure, repair, note, end), make("div", {}, possible, taken, line));
  root.append(head, complaint, said, echo, cautions, result, wiring, work);
  chosen();

  function showReadings(list) {
    [...readings.children].slice(list.length).forEach((node) => node.remove());
    const known = new Set([...readings.children].map((node) => node.dataset.key));
    for (const [key, name, when, rows] of list) {
      if (known.has(key)) continue;
      const placed = rows.some((row) => row[2]), shown = placed ? rows : rows.map((row) => row.slice(0, 2));
      readings.prepend(make("details", { open: true, "data-key": key }, make("summary", {}, when ? `${name}, ${when}` : name),
        table(name, ["What", "Reading", ...(placed ? ["Place"] : [])], shown)));
      [...readings.children].slice(2).forEach((node) => { node.open = false; });
    }
  }

  function showResult(found) {
    result.hidden = !found;
    if (!found) result.replaceChildren();
    if (!found || result.childElementCount) return;
    result.append(make("h4", {}, found.critical ? "Not yet: an unsafe step ended the case" : `${found.total} of 100 points`));
    if (found.critical) result.append(make("p", {}, found.critical));
    if (found.truth) result.append(make("p", {}, `The fault: ${found.truth}`), make("p", {}, `Repair: ${found.repair}`), make("p", {}, `Proof: ${found.verification}`));
    result.append(table("Points", ["Criterion", "Points", "Of", "Why"], found.rows));
    if (found.deductions.length) result.append(make("ul", {}, ...found.deductions.map(([words, points]) => make("li", {}, `${words}: minus ${points}`))));
    if (face().practice) result.append(make("div", { class: "tl-buttons" }, button("Start this car again", () => { head.focus(); send("again"); })));
  }

  // The list of faults. While a new reading waits for the learner's word each fault has a box to tick; ticks stay until the list changes.
  let listed = "";
  function showLeft(rows, due) {
    const left = rows.filter((row) => row[2]).length, state = JSON.stringify([rows, due]);
    leftCount.textContent = due ? "You have a new reading. Which of these does it exclude? Tick them."
      : `${left} of ${rows.length} fault${rows.length === 1 ? "" : "s"} with this symptom agree${left === 1 ? "s" : ""} with all readings.`;
    cross.hidden = !due;
    if (state === listed) return;
    listed = state;
    leftList.replaceChildren(...rows.map(([where, what, still, key]) => {
      if (!due || !still) return make("li", { class: still ? "" : "tl-out" }, `${still ? "possible" : "excluded"}: ${where}, ${what}`);
      return make("li", { class: "tl-option" }, make("input", { type: "checkbox", id: `${id}-out-${key}`, value: key }), make("label", { for: `${id}-out-${key}` }, `${where}, ${what}`));
    }));
  }

  function show() {
    const now = face(), measuring = Boolean(now.wiring), changed = wiring.hidden === measuring;
    busy = false;
    caller.answered();
    clock.textContent = `${now.minutes} minutes used`;
    answer(now.message);
    cautions.hidden = now.ready;
    complaint.hidden = measuring;
    work.hidden = !now.ready || measuring;
    wiring.hidden = !measuring;
    if (changed) (measuring ? wiring : cautions).before(echo);
    if (changed) {
      (measuring ? back : opened)?.focus();
      if (measuring) head.scrollIntoView({ block: "start" });
    }
    work.firstChild.hidden = now.over;
    possible.hidden = !now.practice;
    // Until the next list is there, the last one stays, so that nothing jumps.
    const rows = now.possible;
    if (rows) showLeft(rows, now.due);
    else leftCount.textContent = "Before the last reading. The next list is still being worked out and follows in a moment.";
    showReadings(now.taken);
    none.hidden = now.taken.length > 0;
    lineList.replaceChildren(...now.line.map(([time, words]) => make("li", {}, `${time}: ${words}`)));
    showResult(now.result);
    // The end folds away what was pressed: without this the page would show nothing but what comes after the case.
    if (now.over && ended === false) {
      cautions.before(echo);
      (now.result ? result : head).focus({ preventScroll: true });
      head.scrollIntoView({ block: "start" });
    }
    if (ended && !now.over) cautions.before(echo);
    ended = now.over;
  }

  // The box of the note is emptied when the note is in the record, unless more has been typed since.
  const heard = ({ kind, text: kept }) => { if (kind === "noted" && text.value === kept) { text.value = ""; keep(); } };

  let ended;
  model.on("change:face", show);
  model.on("msg:custom", heard);
  show();
  return () => {
    caller.answered();
    model.off("change:face", show);
    model.off("msg:custom", heard);
  };
}

export default { render };
