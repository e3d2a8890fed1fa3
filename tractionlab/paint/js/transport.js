// Transport: the clock of the run with play, pause, steps, scrub and speed. It never asks the
// kernel.

import { labelFor, list } from "./fields.js";
import { freshName, make, say } from "./make.js";
import { niceStep } from "./numbers.js";
import { onStepKeys } from "./step_keys.js";

const CALM = 500; // ms between two pictures

export class Transport {
  constructor(host, whenTime, say) {
    this.whenTime = whenTime;
    this.span = null;
    this.time = null;
    this.written = null;
    this.playing = false;
    this.started = false;
    this.calm = globalThis.matchMedia("(prefers-reduced-motion: reduce)");
    this.host = host;
    this.rate = 1;
    this.unit = "";
    this.playButton = make("button", { type: "button", class: "tl-play" }, "Play");
    this.back = make("button", { type: "button", "aria-label": "Step back" }, "\u2212 Step");
    this.forward = make("button", { type: "button", "aria-label": "Step forward" }, "Step +");
    this.scrub = make("input", { type: "range", id: freshName(), step: "any", class: "tl-scrub" });
    this.clock = make("span", { class: "tl-clock" });
    this.speed = list([[1, "1\u00D7"], [0.5, "\u00BD\u00D7"], [0.25, "\u00BC\u00D7"], [
      0.1,
      "\u2152\u00D7",
    ]], { id: freshName() });
    const row = (name, ...parts) => make("span", { class: `tl-row ${name}` }, ...parts);
    host.append(
      this.playButton,
      this.back,
      this.forward,
      row("", labelFor(this.speed, "Speed"), this.speed),
      row("tl-way", this.label = labelFor(this.scrub, "Time [s]"), this.scrub, this.clock),
    );
    this.playButton.addEventListener("click", () => (this.playing ? this.pause() : this.play()));
    this.back.addEventListener("click", () => this.step(-1, say));
    this.forward.addEventListener("click", () => this.step(1, say));
    this.scrub.addEventListener("input", () => {
      this.pause();
      this.go(Number(this.scrub.value));
    });
    this.scrub.addEventListener("change", () => say());
    onStepKeys(this.scrub, (count) => this.step(count, say));
  }

  get stepSize() {
    return niceStep(this.span[1] - this.span[0], 200);
  }

  /** The moment in words. */
  get spoken() {
    return `${this.time.toFixed(2)} ${this.unit === "ms" ? "milliseconds" : "seconds"}`;
  }

  /**
   * @param {number[] | null} span first and last moment
   * @param {{unit: string, rate: number}} pace unit of time, and how much of it passes in a second
   *   of play
   */
  setSpan(span, { unit, rate } = { unit: "s", rate: 1 }) {
    this.host.hidden = !span;
    if (unit !== this.unit) {
      this.unit = unit;
      say(this.label, `Time [${unit}]`);
      this.written = null;
    }
    // At another pace the same share of the way.
    const old = this.span;
    if (span && old && rate !== this.rate) {
      this.time = span[0] + (span[1] - span[0]) * (this.time - old[0]) / (old[1] - old[0]);
    }
    this.rate = rate;
    this.span = span;
    if (!span) {
      this.time = null;
      this.pause();
      return;
    }
    if (Number(this.scrub.min) !== span[0]) this.scrub.min = String(span[0]);
    if (Number(this.scrub.max) !== span[1]) this.scrub.max = String(span[1]);
    if (this.time === null) this.time = span[0] + (span[1] - span[0]) / 3;
    this.go(this.time, false);
  }

  go(time, touched = true, dt = 0) {
    if (touched) this.started = true;
    this.time = Math.max(this.span[0], Math.min(this.span[1], time));
    if (this.time !== this.written) {
      this.written = this.time;
      this.scrub.value = this.time;
      say(this.clock, `${this.time.toFixed(2)} ${this.unit}`);
      this.scrub.setAttribute("aria-valuetext", this.spoken);
    }
    this.whenTime(this.time, dt);
  }

  step(count, say) {
    this.pause();
    const size = this.stepSize;
    this.go(
      Number.isFinite(count)
        ? (Math.round(this.time / size) + count) * size
        : this.span[count < 0 ? 0 : 1],
    );
    say();
  }

  play() {
    if (!this.started || this.time >= this.span[1] - 1e-6) this.go(this.span[0]);
    this.playing = true;
    say(this.playButton, "Pause");
    let last = null;
    const frame = (now) => {
      if (!this.playing) return;
      // Who wants less motion sees a picture each half second.
      if (this.calm.matches && last !== null && now - last < CALM) {
        requestAnimationFrame(frame);
        return;
      }
      const longest = this.calm.matches ? 0.6 : 0.25;
      const dt = last === null
        ? 0
        : Math.min(longest, (now - last) / 1000) * this.rate * Number(this.speed.value);
      last = now;
      this.go(this.time + dt, true, dt);
      if (this.time >= this.span[1]) {
        this.pause();
        return;
      }
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
  }

  pause() {
    if (!this.playing) return;
    this.playing = false;
    say(this.playButton, "Play");
    if (this.span) this.whenTime(this.time, 0);
  }
}
