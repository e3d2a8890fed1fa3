// Trace the path: the circuit as a card; a pick goes to the kernel, the way so far stands below.

import { Caller } from "../paint/js/caller.js";
import { CircuitPicture } from "../paint/js/circuit.js";
import { freshName, make, say } from "../paint/js/make.js";
import { unpack } from "../paint/js/wire.js";

const FLOWS = 5000; // ms
const AROUND = 130; // px of a window that words and key take above and below the drawing
const SIDE = 330, LEAST = 440; // px: of the words beside the drawing, and of a drawing beside words

function render({ model, el }) {
  const titleId = freshName();
  const title = make("p", { class: "tl-title", id: titleId }), text = make("p");
  const box = make("div", { class: "tl-circuit" }), side = make("div", { class: "tl-way" });
  const body = make("div", { class: "tl-trace-body" }, text, box, side);
  const here = make("p", { class: "tl-here" });
  const steps = make("ol", { "aria-label": "The way so far" });
  const message = make("p", { class: "tl-message", role: "status" }),
    notice = make("p", { class: "tl-notice", role: "status" });
  const buttons = make("div", { class: "tl-buttons" });
  for (const [command, words] of [["undo", "Undo"], ["hint", "Hint"], ["again", "Start again"]]) {
    const button = make("button", { type: "button" }, words);
    button.addEventListener("click", () => caller.send({ command }));
    buttons.append(button);
  }
  const root = make(
    "section",
    { class: "tl-card tl-trace", "aria-labelledby": titleId },
    title,
    body,
    notice,
  );
  side.append(here, buttons, message, steps);
  root.addEventListener("keydown", (event) => {
    if (!event.ctrlKey && !event.metaKey && !event.altKey) event.stopPropagation();
  });
  el.append(root);

  const caller = new Caller(
    model,
    root,
    (words) => say(message, words),
    (words) => say(message, words),
  );
  const circuit = new CircuitPicture(
    box,
    (index) => caller.send({ command: "pick", part: model.get("drawing").parts[index].key }),
  );
  const paint = () => {
    const [wide, tall] = model.get("drawing").size;
    const fits = (globalThis.innerHeight - AROUND) * wide / tall;
    const beside = body.clientWidth >= SIDE + LEAST, room = body.clientWidth - (beside ? SIDE : 0);
    body.classList.toggle("tl-apart", beside);
    circuit.width = Math.min(room, Math.max(circuit.leastWidth, fits));
    circuit.paint(model.get("picture").time, false);
  };
  // The reward: the fluid flows for a moment along the way that was found.
  let running = 0;
  const flow = (until) => {
    circuit.paint(model.get("picture").time, performance.now() < until);
    running = performance.now() < until ? requestAnimationFrame(() => flow(until)) : 0;
  };
  const load = () => {
    const picture = model.get("picture");
    cancelAnimationFrame(running);
    circuit.riddle = picture.riddle;
    circuit.set(unpack(picture, model.get("block")).circuit, model.get("drawing"));
    paint();
    if (!picture.riddle) flow(performance.now() + FLOWS);
  };
  const show = () => {
    caller.answered();
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
  load();
  const watch = new ResizeObserver(paint);
  watch.observe(root);
  model.on("change:face", show);
  model.on("change:picture", load);
  show();
  return () => {
    watch.disconnect();
    cancelAnimationFrame(running);
    model.off("change:picture", load);
    caller.answered();
    model.off("change:face", show);
  };
}

export default { render };
