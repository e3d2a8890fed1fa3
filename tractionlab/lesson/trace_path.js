// Trace the path: the circuit as a card; a pick goes to the kernel, the way so far stands below.

function render({ model, el }) {
  const titleId = freshName();
  const title = make("p", { class: "tl-title", id: titleId }), text = make("p");
  const box = make("div", { class: "tl-circuit" }), side = make("div", { class: "tl-way" });
  const here = make("p", { class: "tl-here" });
  const steps = make("ol", { "aria-label": "The way so far" });
  const message = make("p", { class: "tl-message", role: "status" }), notice = make("p", { class: "tl-notice", role: "status" });
  const buttons = make("div", { class: "tl-buttons" });
  for (const [command, words] of [["undo", "Undo"], ["hint", "Hint"], ["again", "Start again"]]) {
    const button = make("button", { type: "button" }, words);
    button.addEventListener("click", () => model.send({ command }));
    buttons.append(button);
  }
  const root = make("section", { class: "tl-card tl-trace", "aria-labelledby": titleId }, title, text, message, make("div", { class: "tl-trace-body" }, box, side), notice);
  side.append(here, steps, buttons);
  root.addEventListener("keydown", (event) => { if (!event.ctrlKey && !event.metaKey && !event.altKey) event.stopPropagation(); });
  el.append(root);

  const circuit = new CircuitPicture(box, (index) => model.send({ command: "pick", part: model.get("drawing").parts[index].key }));
  const say = (node, words) => { if (node.textContent !== words) node.textContent = words; };
  const paint = () => {
    circuit.width = box.clientWidth;
    circuit.paint(model.get("picture").time, false);
  };
  const show = () => {
    const face = model.get("face"), keys = model.get("drawing").parts.map((part) => part.key);
    say(title, face.title);
    say(text, face.text);
    say(here, `The fluid is now in ${face.here}.`);
    say(message, face.message);
    say(notice, face.notice);
    steps.replaceChildren(...face.steps.map(([name, goal]) => make("li", {}, `${name}, ${goal}`)));
    steps.hidden = !face.steps.length;
    root.dataset.done = face.done;
    circuit.marked = face.marked.map((key) => keys.indexOf(key));
    paint();
  };
  circuit.set(unpack(model.get("picture"), model.get("block")).circuit, model.get("drawing"));
  const watch = new ResizeObserver(paint);
  watch.observe(root);
  model.on("change:face", show);
  show();
  return () => {
    watch.disconnect();
    model.off("change:face", show);
  };
}

export default { render };
