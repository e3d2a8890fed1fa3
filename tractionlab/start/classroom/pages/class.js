// The class in sight: figures, places, learners and what they got wrong, renewed every second.

import { patch } from "../../../lesson/live.js";
import { make, say } from "../../../paint/js/make.js";
import { follow } from "./ask.js";

const { here, xsrf } = document.body.dataset;
const names = /** @type {HTMLInputElement} */ (document.querySelector("#names"));
const lesson = /** @type {HTMLSelectElement} */ (document.querySelector("#lesson"));
let last = null;

/** Put `fresh` where the page has an element of that id, changing only what is new. */
function put(id, ...fresh) {
  const old = document.querySelector(`#${id}`);
  patch(old, make("div", { id, class: old.getAttribute("class") }, ...fresh));
}

/** A table; each row is a list of words or nodes, the first of them its head. */
function table(heads, rows, looks = []) {
  const head = make("tr", {}, ...heads.map((words) => make("th", { scope: "col" }, words)));
  const body = rows.map(([first, ...others], i) =>
    make(
      "tr",
      { class: looks[i] ?? null },
      make("th", { scope: "row" }, first),
      ...others.map((words) => make("td", {}, words)),
    )
  );
  return make("table", {}, make("thead", {}, head), make("tbody", {}, ...body));
}

const figure = (number, words) => make("p", {}, make("strong", {}, `${number}`), ` ${words}`);
const where = (number) => number === 0 ? "Start page" : number === null ? "Elsewhere" : `${number}`;
const ago = (minutes) => minutes === null ? "not yet" : minutes ? `${minutes} min ago` : "now";
const times = (number) => number === 1 ? "once" : `${number} times`;
const closed = (row) => row.floods ? `, page closed ${times(row.floods)}` : "";
const moved = (row) => row.present ? (row.still ? "still, " : "") + ago(row.minutes) : "away";
const chosen = (one) => lesson.value === "" || `${one.lesson}` === lesson.value;

function newPin(name) {
  const label = `New PIN for ${name}`;
  return make("button", { type: "button", "data-name": name, "aria-label": label }, "New PIN");
}

/** Let a learner choose a new PIN; the page stays as it is. */
async function forget(name) {
  const question = `Let ${name} choose a new PIN? The old one will open nothing any more.`;
  if (!confirm(question)) return;
  const body = new URLSearchParams({ _xsrf: xsrf, name });
  const done = await fetch(here, { method: "POST", body }).then((said) => said.ok, () => false);
  const words = done
    ? `${name} chooses a new PIN at the next sign-in. Sit beside the learner until then.`
    : `The PIN of ${name} is as it was. Reload this page and try again.`;
  say(document.querySelector("#done"), words);
}

function people(rows) {
  const heads = ["Lesson", "Answered", "Last card", "Moved", "Hints"];
  const cells = (row) => [
    where(row.lesson),
    row.cards ? `${row.done} of ${row.cards}` : "",
    make("span", { class: "one-line", title: row.card }, row.card),
    make("span", { class: "moved" }, moved(row) + closed(row)),
    `${row.hints}`,
  ];
  const looks = rows.map((row) => row.present ? row.still ? "still" : null : "away");
  if (!names.checked) return table(heads, rows.map(cells), looks);
  const named = rows.map((row) => [
    make("span", { class: "name", title: row.name }, row.name),
    ...cells(row),
    newPin(row.name),
  ]);
  return table(["Name", ...heads, "PIN forgotten"], named, looks);
}

function places(found, all) {
  const rows = found.map((one) => {
    const bar = make("span", { class: "bar", style: `width: ${(80 * one.count) / all}%` });
    const number = make("span", { class: "number" }, `${one.count}`);
    const count = make("span", { class: "count" }, number, bar);
    return [one.lesson ? `${one.lesson} ${one.title}` : one.title, count];
  });
  return table(["Lesson", "Learners"], rows);
}

function show(found) {
  last = found;
  if (found.rows.some((row) => "name" in row) !== names.checked && found.rows.length) return;
  const stuck = found.rows.filter((row) => row.still && row.name).map((row) => row.name);
  put(
    "figures",
    figure(`${found.present} of ${found.learners}`, "at work"),
    figure(found.still, `not moved for 10 minutes${stuck.length ? `: ${stuck.join(", ")}` : ""}`),
    figure(found.hints, "hints used"),
  );
  put("places", ...(found.places.length ? [places(found.places, found.present)] : []));
  const rows = found.rows.filter(chosen);
  put("people", rows.length ? people(rows) : make("p", {}, "Nobody yet."));
  const wrong = found.failures.filter(chosen);
  const wrongRows = wrong.map((one) => [
    one.asked,
    `${one.lesson || "start"}`,
    `${one.wrong} of ${one.all}`,
    `${one.hints}`,
  ]);
  put(
    "wrong",
    wrong.length
      ? table(["Question", "Lesson", "Wrong", "Hints"], wrongRows)
      : make("p", {}, "Nothing yet."),
  );
  const guesses = found.guesses.filter(chosen);
  const guessRows = guesses.map((one) => [
    make("a", { href: `${here}/guesses?question=${one.name}` }, one.asked),
    `${one.lesson}`,
    `${one.count}`,
  ]);
  put(
    "guesses",
    guesses.length
      ? table(["Show as a picture", "Lesson", "Guesses"], guessRows)
      : make("p", {}, "Nothing yet."),
  );
}

// The buttons are made anew again and again.
document.addEventListener("click", ({ target }) => {
  if (target instanceof HTMLButtonElement && target.dataset.name) forget(target.dataset.name);
});
const look = follow(() => `now${names.checked ? "?names=1" : ""}`, show);
names.addEventListener("change", look);
lesson.addEventListener("change", () => last && show(last));
