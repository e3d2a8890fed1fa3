// Time left and what is saved, in sight wherever the candidate works: in the line at the top of the
// exam room's page, and in the free middle of the window's bar when a notebook is scrolled down.

import { make, say } from "../../paint/js/make.js";

const NAME = "tl-strip";

export class Strip {
  /**
   * @param {HTMLElement} head of the desk
   * @param {HTMLElement} clock in that head
   * @param {HTMLElement} saved in that head
   */
  constructor(head, clock, saved) {
    this.head = head;
    this.clock = clock;
    this.saved = saved;
    this.away = false;
    this.place = /** @type {HTMLElement | null} */ (document.querySelector(`.${NAME}`));
    if (this.place) return;
    // The desk's own head says the same to who listens.
    this.own = make("p", { class: NAME, "aria-hidden": "true", hidden: true });
    this.place = this.own;
    document.body.append(this.own);
    this.watch = new IntersectionObserver(([seen]) => {
      this.away = !seen.isIntersecting;
      this.show();
    });
    this.watch.observe(head);
  }

  show() {
    const { head, clock, place } = this, parts = [clock, this.saved];
    const words = head.isConnected ? parts.map((part) => part.textContent).filter(Boolean) : [];
    say(place, words.join(", "));
    place.dataset.short = clock.dataset.short ?? "false";
    if (!this.own) return;
    // Another notebook in front of this one has its own time.
    this.own.hidden = !(this.away && words.length && head.checkVisibility());
  }

  stop() {
    this.watch?.disconnect();
    this.own?.remove();
  }
}
