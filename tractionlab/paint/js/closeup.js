// Close-up: a ring turning past its sensor, a tread on the road, or discs that glow, at one moment
// of their clock.

import { DISCS_HEIGHT, paintDiscs, readDiscs } from "./disc.js";
import { make } from "./make.js";
import { paintRing, readRing, RING_HEIGHT } from "./ring.js";
import { sizeCanvas } from "./still.js";
import { paintTread, readTread, TREAD_HEIGHT } from "./tread.js";

const KINDS = {
  RingCloseup: { paint: paintRing, read: readRing, height: RING_HEIGHT },
  TreadCloseup: { paint: paintTread, read: readTread, height: TREAD_HEIGHT },
  DiscCloseup: { paint: paintDiscs, read: readDiscs, height: DISCS_HEIGHT },
};

export class CloseupPicture {
  /** @param {HTMLElement} host */
  constructor(host) {
    this.canvas = make("canvas", { role: "img" });
    host.append(this.canvas);
    this.host = host;
    this.shown = null;
    this.width = 0;
  }

  set(shown) {
    this.shown = shown ?? null;
    this.host.hidden = !shown;
    if (shown && shown.words !== this.canvas.getAttribute("aria-label")) {
      this.canvas.setAttribute("aria-label", shown.words);
    }
  }

  get span() {
    return this.shown ? [this.shown.time[0], this.shown.time[this.shown.time.length - 1]] : null;
  }

  get height() {
    return this.shown ? KINDS[this.shown.kind].height : 0;
  }

  /** @param {number} time in the unit of the close-up */
  paint(time) {
    if (!this.shown || !this.width) return;
    const pen = sizeCanvas(this.canvas, this.width, this.height);
    KINDS[this.shown.kind].paint(pen, this.shown, time, this.width, this.height);
  }

  /** What is to be seen at `time`, in words. */
  read(time) {
    return this.shown ? KINDS[this.shown.kind].read(this.shown, time) : "";
  }
}
