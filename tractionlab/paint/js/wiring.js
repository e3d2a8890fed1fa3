// Wiring: the diagram of a group of the network, with a button over each point and each plug, and
// the probes that lie on it.

import { paintLetter } from "./big_list.js";
import { PartButtons } from "./circuit_parts.js";
import { CIRCUIT_FONT, FILLS, HEAVY, paintShapes } from "./circuit_shapes.js";
import { INK } from "./legend.js";
import { COLOURS } from "./look.js";
import { make, say } from "./make.js";
import { sizeCanvas } from "./still.js";

const PROBE_RINGS = { R: COLOURS[2], B: COLOURS[0], 2: COLOURS[1], C: COLOURS[3] };
const PROBE_WORDS = { R: "red probe", B: "black probe", 2: "second channel", C: "current clamp" };
const WIRING_LEGEND = "R red probe, B black probe, 2 second channel, C current clamp. " +
  "On, off: plug, fuse or relay in its place, or pulled.";

export const LEAST = 0.8; // scale
const AROUND_DRAWING = 120; // px of menus and bars above and below a notebook

export class WiringPicture {
  // `touched(point key)`: a point was chosen; `pulled(plug key)`: a plug was.
  constructor(host, touched, pulled) {
    this.canvas = make("canvas", { role: "img" });
    this.frame = make("div", { class: "tl-drawing" }, this.canvas);
    this.scroll = make("div", { class: "tl-scroll" }, this.frame);
    host.append(this.scroll, make("p", {}, WIRING_LEGEND));
    this.host = host;
    this.name = make("div", { class: "tl-name", "aria-hidden": "true", hidden: true });
    this.frame.append(this.name);
    this.buttons = new PartButtons(
      this.frame,
      (index, pointer) => {
        const place = this.places[index];
        if (!place.pulls) return touched(place.key);
        // No finger can point without touching: its first touch tells which plug it is.
        if (pointer === "touch" && this.told !== place.key) return this.tell(index);
        pulled(place.key);
      },
      "Points and plugs of the wiring diagram. Arrow keys move from one to the next, " +
        "Enter puts a probe on a point or pulls a plug.",
    );
    for (const [come, go] of [["pointerover", "pointerout"], ["focusin", "focusout"]]) {
      this.buttons.host.addEventListener(come, ({ target }) => this.showName(target));
      this.buttons.host.addEventListener(go, () => this.name.hidden = true);
    }
    this.width = 0;
    this.room = 0; // height for the drawing, where its controls stand beside it
    this.least = LEAST;
    this.bare = null; // as in circuit.js
    this.told = ""; // the plug whose name a finger has asked for
    host.hidden = true;
  }

  set(wiring, drawing) {
    this.wiring = wiring;
    this.host.hidden = !wiring;
    if (!wiring) return;
    const pulled = wiring.pulled.join();
    if (this.drawing !== drawing || this.pulled !== pulled) {
      const focused = this.places?.[this.buttons.index()]?.key;
      this.drawing = drawing;
      this.pulled = pulled;
      const points = drawing.points.filter((point) =>
        !point.device || wiring.pulled.includes(point.plug)
      );
      this.places = [
        ...points.map((point) => ({ ...point, box: [-12, -12, 12, 12] })),
        ...drawing.plugs.map(({ key, name, box: [left, top, right, bottom] }) => (
          {
            key,
            name,
            pulls: true,
            at: [(left + right) / 2, (top + bottom) / 2],
            box: [-13, -12, 13, 12],
          }
        )),
      ];
      this.buttons.set(this.places, (place) => this.words(place));
      if (focused) {
        this.buttons.focus(Math.max(0, this.places.findIndex((place) => place.key === focused)));
      }
      this.canvas.setAttribute(
        "aria-label",
        `Wiring diagram: ${drawing.title}. Symbols of electrical parts, ` +
          `joined by leads through plugs.`,
      );
    }
    this.buttons.name((index) => this.words(this.places[index]));
    this.paint();
  }

  // The name of a point or a plug beside it while it is pointed at or has the focus.
  showName(node) {
    const place = this.places[this.buttons.nodes.indexOf(node)];
    if (!place) return;
    const off = place.pulls && this.wiring.pulled.includes(place.key);
    say(this.name, off ? `${place.name}, pulled` : place.name);
    const [x, y] = place.at.map((part) => part * this.scale), wide = this.frame.clientWidth;
    const right = x > wide / 2;
    this.name.style.left = right ? "" : `${x + 14}px`;
    this.name.style.right = right ? `${wide - x + 14}px` : "";
    this.name.style.top = `${Math.max(0, y - 30)}px`;
    this.name.hidden = false;
  }

  tell(index) {
    const { key } = this.places[index];
    this.told = key;
    this.showName(this.buttons.nodes[index]);
    const back = this.wiring.pulled.includes(key);
    this.name.textContent += back ? ". Touch again to put it back." : ". Touch again to pull it.";
  }

  words(place) {
    if (place.pulls) {
      return `${place.name}: ${
        this.wiring.pulled.includes(place.key) ? "off, Enter puts it back" : "on, Enter pulls it"
      }`;
    }
    const on = this.wiring.probes.filter(([, key]) => key === place.key).map(([letter]) =>
      PROBE_WORDS[letter]
    );
    return on.length ? `${place.name}, with ${on.join(" and ")}` : place.name;
  }

  // As wide as the page, but not higher than what of it can be seen at once: both probes are to be
  // in view.
  get scale() {
    const [wide, high] = this.drawing.size;
    if (this.bare) return Math.min(this.bare.wide / wide, this.bare.tall / high);
    return Math.max(
      this.least,
      Math.min(
        1.35,
        this.width / wide,
        (this.room || globalThis.innerHeight - AROUND_DRAWING) / high,
      ),
    );
  }

  get height() {
    return this.wiring ? this.drawing.size[1] * this.scale : 0;
  }

  paint() {
    if (!this.wiring || !this.width) return;
    const { drawing, wiring, scale } = this, width = drawing.size[0] * scale;
    this.frame.style.width = `${width}px`;
    this.buttons.place(scale);
    const pen = sizeCanvas(this.canvas, width, this.height);
    pen.fillStyle = FILLS.paper;
    pen.fillRect(0, 0, width, this.height);
    pen.save();
    pen.scale(scale, scale);
    pen.lineJoin = "round";
    this.paintFrames(pen);
    this.paintLines(pen);
    drawing.parts.forEach((part, i) => {
      pen.save();
      pen.translate(part.at[0], part.at[1]);
      paintShapes(pen, part.shapes, wiring.active[i], 0, Boolean(this.bare));
      pen.restore();
    });
    this.paintPoints(pen);
    if (!this.bare) this.paintWords(pen);
    drawing.plugs.forEach((plug) => this.paintPlug(pen, plug));
    wiring.probes.forEach(([letter, key]) =>
      this.paintProbe(pen, letter, drawing.points.find((point) => point.key === key))
    );
    pen.restore();
  }

  paintFrames(pen) {
    for (const [left, top, right, bottom] of this.drawing.frames) {
      pen.fillStyle = "#f6f6f6";
      pen.fillRect(left, top, right - left, bottom - top);
      pen.strokeStyle = INK;
      pen.lineWidth = 1.1;
      pen.setLineDash([8, 4]);
      pen.strokeRect(left, top, right - left, bottom - top);
    }
    pen.setLineDash([]);
  }

  paintLines(pen) {
    pen.strokeStyle = INK;
    pen.lineWidth = this.bare ? HEAVY * 1.3 : 1.3;
    pen.beginPath();
    for (const line of this.drawing.lines) {
      line.forEach(([x, y], i) => (i ? pen.lineTo(x, y) : pen.moveTo(x, y)));
    }
    for (const [x, y, other, plug] of this.drawing.joints) {
      if (this.wiring.pulled.includes(plug)) continue;
      pen.moveTo(x, y);
      pen.lineTo(x, other);
    }
    pen.stroke();
    pen.fillStyle = INK;
    for (const [x, y] of this.drawing.dots) {
      pen.beginPath();
      pen.arc(x, y, 3, 0, 7);
      pen.fill();
    }
  }

  paintPoints(pen) {
    pen.lineWidth = 1.2;
    pen.strokeStyle = INK;
    pen.fillStyle = FILLS.paper;
    for (const { at: [x, y] } of this.drawing.points) {
      pen.beginPath();
      pen.arc(x, y, 3.8, 0, 7);
      pen.fill();
      pen.stroke();
    }
  }

  paintWords(pen) {
    pen.textBaseline = "middle";
    pen.font = CIRCUIT_FONT.replace("11.5", "10.5");
    for (const [x, y, words, align] of this.drawing.marks) this.write(pen, words, x, y, align);
    pen.font = CIRCUIT_FONT;
    for (const part of this.drawing.parts) {
      if (part.label_at) this.write(pen, part.label, ...part.label_at);
    }
  }

  write(pen, words, x, y, align) {
    pen.textAlign = align === "middle" ? "center" : align;
    const rows = words.split("\n");
    rows.forEach((row, n) => {
      const wide = pen.measureText(row).width,
        left = align === "middle" ? x - wide / 2 : align === "right" ? x - wide : x,
        top = y + 11 * (n - (rows.length - 1) / 2);
      pen.fillStyle = "rgba(255, 255, 255, 0.9)";
      pen.fillRect(left - 1, top - 5.5, wide + 2, 11);
      pen.fillStyle = INK;
      pen.fillText(row, x, top + 0.5);
    });
  }

  paintPlug(pen, { key, box: [left, top, right, bottom] }) {
    const off = this.wiring.pulled.includes(key);
    pen.fillStyle = off ? INK : FILLS.paper;
    pen.strokeStyle = INK;
    pen.lineWidth = 1;
    pen.beginPath();
    pen.roundRect(left, top, right - left, bottom - top, 4);
    pen.fill();
    pen.stroke();
    if (this.bare) return;
    pen.fillStyle = off ? FILLS.paper : INK;
    pen.font = `${off ? "bold " : ""}${CIRCUIT_FONT.replace("11.5", "10")}`;
    pen.textAlign = "center";
    pen.fillText(off ? "off" : "on", (left + right) / 2, (top + bottom) / 2 + 0.5);
  }

  // On the big screen the letters stand away from each other.
  paintProbeLetter(pen, letter, [x, y]) {
    const { drawing: { points }, wiring: { probes }, scale } = this, far = 12 / scale;
    const places = points.filter(({ key }) => probes.some(([, other]) => other === key));
    const middle = (i) => places.reduce((sum, { at }) => sum + at[i], 0) / places.length;
    const [dx, dy] = places.length > 1 ? [x - middle(0), y - middle(1)] : [0, -1];
    const way = far / (Math.hypot(dx, dy) || 1);
    paintLetter(pen, letter, x + way * dx, y + way * dy, scale);
  }

  paintProbe(pen, letter, point) {
    if (!point) return;
    const [x, y] = point.at, way = letter === "B" ? -1 : 1;
    if (this.bare) {
      pen.fillStyle = PROBE_RINGS[letter];
      pen.beginPath();
      pen.arc(x, y, 9, 0, 7);
      pen.fill();
      return this.paintProbeLetter(pen, letter, point.at);
    }
    pen.strokeStyle = PROBE_RINGS[letter];
    pen.lineWidth = 3;
    pen.beginPath();
    pen.moveTo(x, y);
    pen.lineTo(x + way * 10, y - 10);
    pen.stroke();
    pen.beginPath();
    pen.arc(x + way * 16, y - 15, 9, 0, 7);
    pen.fillStyle = FILLS.paper;
    pen.fill();
    pen.stroke();
    pen.fillStyle = INK;
    pen.font = `bold ${CIRCUIT_FONT}`;
    pen.textAlign = "center";
    pen.fillText(letter, x + way * 16, y - 14.5);
  }
}
