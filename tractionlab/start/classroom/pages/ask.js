// Asks the class server again and again and hands on what it says.

import { say } from "../../../paint/js/make.js";

const EVERY_MS = 1000;

/** What is there, or the sentence that says why it is not. */
async function answer(address) {
  try {
    const said = await fetch(address);
    return said.ok ? [await said.json(), ""] : [null, "Sign in again: reload this page."];
  } catch {
    return [null, "The class server does not answer. What stands here is from before."];
  }
}

/**
 * Look now, and a second after each answer; returns a function that looks at once.
 * @param {() => string} place what to ask for, below the class's own address
 * @param {(found: any) => void} show
 */
export function follow(place, show) {
  const { here } = document.body.dataset;
  const said = document.querySelector("#said");
  let waiting, latest = 0;

  async function look() {
    clearTimeout(waiting);
    const mine = ++latest;
    const [found, problem] = await answer(`${here}/${place()}`);
    if (mine !== latest) return;
    waiting = setTimeout(look, EVERY_MS);
    say(said, problem);
    if (found) show(found);
  }

  look();
  return look;
}
