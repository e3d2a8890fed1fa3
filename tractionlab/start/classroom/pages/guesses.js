// The class's guesses as bars for the projector; which one came true is shown on a key press only.

import { patch } from "../../../lesson/live.js";
import { make, say } from "../../../paint/js/make.js";
import { follow } from "./ask.js";

const question = /** @type {HTMLSelectElement} */ (document.querySelector("#question"));
const right = document.querySelector("#right");
const asked = new URLSearchParams(location.search).get("question");
if (asked && [...question.options].some(({ value }) => value === asked)) question.value = asked;
let open = false;

function row(bar, most, true_) {
  const share = most ? (100 * bar.count) / most : 0;
  return make(
    "tr",
    { class: true_ ? "true" : null },
    make("th", { scope: "row" }, bar.words),
    make(
      "td",
      { class: "track" },
      make("span", { class: "bar", style: `width: ${0.6 * share}%` }),
      ...(true_ ? [make("em", {}, "✓ right")] : []),
    ),
    make("td", {}, `${bar.count}`),
  );
}

function show(found) {
  const came = open && found.right ? found.right : { bars: [], words: "" };
  const most = Math.max(0, ...found.bars.map((bar) => bar.count));
  say(document.querySelector("#asked"), found.asked);
  const rows = found.bars.map((bar, i) => row(bar, most, came.bars.includes(i)));
  const fresh = make("div", { id: "bars" }, make("table", {}, make("tbody", {}, ...rows)));
  patch(document.querySelector("#bars"), fresh);
  const others = found.others ? `, ${found.others} of them none of these` : "";
  const truth = open && found.right === null ? "Working it out …" : came.words;
  const count = `${found.answered} of ${found.of} have answered${others}. ${truth}`;
  say(document.querySelector("#count"), count.trim());
}

const place = () =>
  `picture?question=${encodeURIComponent(question.value)}${open ? "&right=1" : ""}`;
const look = follow(place, show);

function turn(now) {
  open = now;
  right.setAttribute("aria-pressed", `${open}`);
  look();
}

question.addEventListener("change", () => {
  history.replaceState(null, "", `?question=${encodeURIComponent(question.value)}`);
  turn(false);
});
right.addEventListener("click", () => turn(!open));
addEventListener("keydown", (event) => {
  const plain = !event.ctrlKey && !event.altKey && !event.metaKey;
  if (plain && event.key.toLowerCase() === "r" && event.target !== question) turn(!open);
});
document.querySelector("#whole").addEventListener("click", () => {
  if (document.fullscreenElement) document.exitFullscreen();
  else document.documentElement.requestFullscreen();
});
