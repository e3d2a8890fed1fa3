// The supervisor's page: asks every two seconds how things stand.

const EVERY = 2000;
/** @type {HTMLElement} */
const head = document.querySelector(".tl-room-head");
const said = document.getElementById("said");

function tell(words) {
  said.textContent = words;
  said.hidden = !words;
}

/** Fills a table; a row stands out that a supervisor should look at. */
function fill(id, rows) {
  const body = document.querySelector(`#${id} tbody`);
  body.replaceChildren(...rows.map(({ cells, look }) => {
    const row = document.createElement("tr");
    row.dataset.look = look ? "yes" : "no";
    for (const words of cells) row.insertCell().textContent = words;
    return row;
  }));
}

function page(one) {
  if (one.connected) return `open since ${one.since}`;
  const closed = one.phase === "handed in" ? "closed" : "CLOSED";
  return one.since ? `${closed} since ${one.since}` : "not signed in";
}

/** What was tried, as the record has it, in words. */
function tried(what) {
  if (what === "message") return "a message of the page";
  if (what === "answer") return "an answer of a form";
  return what.replace(/^(GET|HEAD) /, "asked for ").replace(/^[A-Z]+ \//, "sent something to /");
}

/** The candidates as they were told last. */
let known = [];

/** A page closed in the middle of the work, or somebody who tried something. */
const odd = (one) => one.refused > 0 || (!one.connected && one.phase === "at work");

function show(now) {
  const { candidates, attempts } = now;
  known = candidates;
  const count = (good) => candidates.filter(good).length;
  document.getElementById("sum").textContent = [
    `${count((one) => one.connected)} of ${candidates.length} pages open`,
    `${count((one) => one.phase === "handed in")} handed in`,
    `${count(odd)} to look at`,
    `${now.refused} refused`,
    now.clock,
  ].join(", ");
  fill(
    "candidates",
    candidates.map((one) => ({
      cells: [
        one.number,
        one.name,
        page(one),
        one.pause ? `${one.phase} ${one.pause}` : one.phase,
        one.left,
        `${one.answered} of ${one.asked}`,
        one.saved_at,
        one.check_number,
        one.refused || "",
      ],
      look: odd(one),
    })),
  );
  fill(
    "attempts",
    attempts.map((one) => ({
      cells: [one.at, one.who, tried(one.what), one.why],
      look: false,
    })),
  );
  tell(now.ended ? "The sitting has ended for all." : "");
  document.getElementById("end").hidden = now.ended;
}

async function ask() {
  try {
    const answer = await fetch("/supervisor/now");
    if (!answer.ok) throw new Error(answer.statusText);
    show(await answer.json());
  } catch {
    tell("No answer from the server that serves the room. Look at its window.");
  }
  setTimeout(ask, EVERY);
}

/** What has to be so that an entry fits a candidate, in the words of the column Paper. */
const FITS = {
  break: ["at work"],
  resume: ["on a break"],
  lost_time: ["at work", "time is over"],
};
const enter = /** @type {HTMLFormElement} */ (document.getElementById("enter"));

/** Hides and frees what an entry does not need. */
function fit() {
  const what = enter.elements["what"].value;
  need("minutes", what === "lost_time");
  need("reason", what !== "resume");
}

function need(name, needed) {
  const box = /** @type {HTMLInputElement} */ (enter.elements[name]);
  box.required = needed;
  box.closest("label").hidden = !needed;
}

enter.elements["what"].addEventListener("change", fit);
enter.addEventListener("submit", async (event) => {
  event.preventDefault();
  const told = document.getElementById("entered");
  const form = new URLSearchParams();
  for (const name of ["what", "minutes", "by", "reason"]) {
    form.set(name, enter.elements[name].value);
  }
  const whom = enter.elements["whom"].value;
  const fits = FITS[enter.elements["what"].value];
  const numbers = whom
    ? [whom]
    : known.filter((one) => fits.includes(one.phase)).map((one) => one.number);
  if (!numbers.length) return told.textContent = "Nobody's paper is where this fits.";
  for (const number of numbers) form.append("number", number);
  told.textContent = "Entering \u2026";
  const headers = { "X-XSRFToken": head.dataset.token };
  try {
    const answer = await fetch("/supervisor/enter", { method: "POST", headers, body: form });
    const { done, left } = await answer.json();
    told.textContent = [
      done.length ? `Entered for ${done.join(", ")}.` : "",
      ...Object.entries(left).map(([number, why]) => `NOT for ${number}: ${why}`),
    ].join(" ");
  } catch {
    told.textContent = "NOT entered: no answer from the server.";
  }
});

document.getElementById("end").addEventListener("submit", async (event) => {
  event.preventDefault();
  const sure = /** @type {HTMLInputElement} */ (document.getElementById("sure"));
  const told = document.getElementById("told");
  if (!sure.checked) return told.textContent = "Tick first that all candidates have been told.";
  told.textContent = "Ending \u2026";
  await fetch("/supervisor/end", {
    method: "POST",
    headers: { "X-XSRFToken": head.dataset.token },
  });
});

ask();
