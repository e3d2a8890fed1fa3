// Circuit parts: a button over each symbol, reached by mouse, Tab and arrow keys, and the card that
// it opens.

import { freshName, make, say } from "./make.js";

export class PartButtons {
  constructor(
    frame,
    chosen,
    label = "Parts of the circuit. Arrow keys move from part to part, Enter opens one.",
  ) {
    this.host = make("div", { class: "tl-parts", role: "toolbar", "aria-label": label });
    frame.append(this.host);
    this.chosen = chosen;
    this.host.addEventListener("keydown", (event) => this.walk(event));
  }

  // A button for each part, with a name from the first moment on, which a voice may read at once.
  set(parts, words) {
    this.parts = parts;
    this.nodes = parts.map((part, index) => {
      const button = make("button", {
        type: "button",
        tabindex: index ? -1 : 0,
        "data-part": part.key,
        "aria-label": words(part),
      });
      button.addEventListener("click", (event) => this.chosen(index, event.pointerType));
      button.addEventListener("focus", () =>
        this.nodes.forEach((node, i) => {
          node.tabIndex = i === index ? 0 : -1;
        }));
      return button;
    });
    this.host.replaceChildren(...this.nodes);
    this.scale = 0;
  }

  place(scale) {
    if (this.scale === scale) return;
    this.scale = scale;
    this.parts.forEach((part, i) => {
      const [left, top, right, bottom] = part.box,
        wide = Math.max(right - left, 22),
        tall = Math.max(bottom - top, 12);
      const x = part.at[0] + (left + right - wide) / 2, y = part.at[1] + (top + bottom - tall) / 2;
      Object.assign(this.nodes[i].style, {
        left: `${x * scale}px`,
        top: `${y * scale}px`,
        width: `${wide * scale}px`,
        height: `${tall * scale}px`,
      });
    });
  }

  name(words) {
    this.nodes.forEach((node, i) => {
      const text = words(i);
      if (node.getAttribute("aria-label") !== text) node.setAttribute("aria-label", text);
    });
  }

  // Number of the button that has the focus, or -1.
  index() {
    return this.nodes ? this.nodes.indexOf(document.activeElement) : -1;
  }

  focus(index) {
    this.nodes[index].focus({ preventScroll: true });
  }

  // Left and right go through the parts in order, up and down to the nearest part that way.
  walk(event) {
    const here = this.nodes.indexOf(document.activeElement);
    if (here < 0 || event.ctrlKey || event.metaKey || event.altKey) return;
    const last = this.nodes.length - 1;
    const jumps = {
      ArrowRight: Math.min(last, here + 1),
      ArrowLeft: Math.max(0, here - 1),
      Home: 0,
      End: last,
      ArrowUp: this.near(here, -1),
      ArrowDown: this.near(here, 1),
    };
    if (!(event.key in jumps)) return;
    event.preventDefault();
    this.nodes[jumps[event.key]].focus();
  }

  near(here, way) {
    const [x, y] = this.parts[here].at;
    let best = here, least = Infinity;
    this.parts.forEach((part, i) => {
      const down = (part.at[1] - y) * way;
      if (down < 8) return;
      const far = down + 2 * Math.abs(part.at[0] - x);
      if (far < least) [best, least] = [i, far];
    });
    return best;
  }
}

// What a part is for, how it stands now, what happens if it fails; on the side of the drawing away
// from the part.
export class PartCard {
  constructor(frame, back) {
    this.frame = frame;
    this.back = back;
    this.index = null;
  }

  open(drawing, index, state) {
    this.close();
    const part = drawing.parts[index], titleId = freshName();
    const shut = make("button", { type: "button" }, "Close");
    this.index = index;
    this.state = make("dd");
    this.say(state);
    this.node = make(
      "div",
      { class: "tl-part-card", role: "dialog", "aria-labelledby": titleId },
      make("p", { class: "tl-part-name", id: titleId }, part.name),
      make(
        "dl",
        {},
        make("dt", {}, "Task"),
        make("dd", {}, part.task),
        make("dt", {}, "Now"),
        this.state,
        make("dt", {}, "If it fails"),
        make("dd", {}, part.failure),
      ),
      shut,
    );
    this.node.style[part.at[0] < drawing.size[0] / 2 ? "right" : "left"] = "0";
    this.node.style.top = "0";
    this.frame.append(this.node);
    shut.addEventListener("click", () => this.close(true));
    this.node.addEventListener("keydown", (event) => {
      if (event.key === "Escape") {
        event.preventDefault();
        this.close(true);
      }
    });
    shut.focus({ preventScroll: true });
  }

  say(state) {
    const words = state || "always the same";
    say(this.state, words);
  }

  close(andBack = false) {
    if (this.index === null) return;
    const index = this.index;
    this.index = null;
    this.node.remove();
    if (andBack) this.back(index);
  }
}
