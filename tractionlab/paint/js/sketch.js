// A sketch by points: fixed places along x, one value for each, set by number box, by mouse or
// finger, or by arrow keys in the box. With `truth`, a computed curve over it or none yet, it is
// to be looked at only.

import { labelFor, textBox, whenTyped } from "./fields.js";
import { make } from "./make.js";
import { sharpness } from "./sharp.js";

// Sizes in px; on a big screen the label of the upright axis lies above it, which leaves room.
const PLAIN = { wide: 560, tall: 300, left: 64, right: 16, top: 12, bottom: 46, letters: 13 };
const BIG = { left: 34, right: 14, top: 18, bottom: 30, letters: 12 };
const NEAR = 8; // px: so near beside a point a stroke still sets it

/** In how many parts a range is divided, so that its lines stand at round values. */
const round = (step) =>
  [1, 2, 2.5, 5].includes(Number((step / 10 ** Math.floor(Math.log10(step))).toPrecision(6)));
const partsOf = (span) => [4, 5, 6, 3].find((many) => round(span / many)) ?? 4;

export function sketchField(field, id, save) {
  const [low, high] = field.y_range;
  let { wide, tall, left, right, top, bottom, letters } = PLAIN, large = false;
  const first = field.points[0], last = field.points[field.points.length - 1];
  const across = (x) => left + (wide - left - right) * (x - first) / (last - first);
  const down = (y) => top + (tall - top - bottom) * (high - y) / (high - low);
  const canvas = make("canvas", {
    width: 2 * wide,
    height: 2 * tall,
    class: "tl-sketch",
    "aria-hidden": "true",
  });
  const digits = Math.max(0, 2 - Math.floor(Math.log10(high - low))), parts = partsOf(high - low);
  const boxes = field.points.map((_, i) => {
    const box = textBox(`${id}-${i}`, { spellcheck: "false", maxlength: 60, class: "tl-box" });
    whenTyped(box, () => {
      draw();
      send();
    });
    for (const kind of ["focus", "blur"]) box.addEventListener(kind, () => draw());
    box.addEventListener("keydown", (event) => {
      const turn = { ArrowUp: 1, ArrowDown: -1 }[event.key];
      if (!turn || box.readOnly) return;
      event.preventDefault();
      put(i, (number(box) ?? (low + high) / 2) + turn * (high - low) / 50);
      box.dispatchEvent(new Event("input"));
    });
    return box;
  });
  const number = (box) => {
    const value = Number(box.value.trim().replace(",", "."));
    return box.value.trim() && Number.isFinite(value) ? value : null;
  };
  const put = (i, value) => {
    boxes[i].value = Math.min(high, Math.max(low, value)).toFixed(digits);
    draw();
  };
  const send = () => save(boxes.map((box) => box.value.trim()));

  function draw() {
    const pen = canvas.getContext("2d"), by = canvas.width / wide;
    pen.setTransform(by, 0, 0, by, 0, 0);
    pen.clearRect(0, 0, wide, tall);
    pen.font = `${letters}px system-ui, sans-serif`;
    pen.fillStyle = "#111";
    pen.strokeStyle = "#c4c4c4";
    pen.lineWidth = 1;
    for (let k = 0; k <= parts; k++) {
      const y = low + (high - low) * k / parts;
      pen.beginPath();
      pen.moveTo(left, down(y));
      pen.lineTo(wide - right, down(y));
      pen.stroke();
      pen.textAlign = "right";
      pen.textBaseline = "middle";
      pen.fillText(String(Number(y.toPrecision(3))), left - 6, down(y));
    }
    let taken = -Infinity;
    for (const x of field.points) {
      pen.beginPath();
      pen.moveTo(across(x), top);
      pen.lineTo(across(x), tall - bottom);
      pen.stroke();
      pen.textAlign = "center";
      pen.textBaseline = "top";
      const words = String(Number(x.toPrecision(3))), half = pen.measureText(words).width / 2;
      if (across(x) - half < taken) continue;
      pen.fillText(words, across(x), tall - bottom + 4);
      taken = across(x) + half + 2;
    }
    pen.textBaseline = "bottom";
    pen.fillText(field.x, (left + wide - right) / 2, tall - (large ? 0 : 4));
    labelUpright(pen);
    const there = boxes.map((box, i) => [field.points[i], number(box)]).filter(([, y]) =>
      y !== null && y >= low && y <= high
    );
    pen.strokeStyle = "#0072B2";
    pen.lineWidth = 2;
    pen.beginPath();
    there.forEach((
      [x, y],
      i,
    ) => (i ? pen.lineTo(across(x), down(y)) : pen.moveTo(across(x), down(y))));
    pen.stroke();
    if (field.truth?.length) paintTruth(pen);
    for (const [x, y] of there) {
      pen.beginPath();
      pen.arc(across(x), down(y), 5, 0, 7);
      pen.fillStyle = document.activeElement === boxes[field.points.indexOf(x)]
        ? "#0072B2"
        : "#fff";
      pen.fill();
      pen.stroke();
    }
  }

  function labelUpright(pen) {
    if (large) {
      pen.textAlign = "left";
      pen.textBaseline = "top";
      return pen.fillText(field.y, 2, 0);
    }
    pen.save();
    pen.translate(13, (top + tall - bottom) / 2);
    pen.rotate(-Math.PI / 2);
    pen.textBaseline = "middle";
    pen.fillText(field.y, 0, 0);
    pen.restore();
  }

  function resize(sizes) {
    ({ wide, tall, left, right, top, bottom, letters } = sizes);
    canvas.style.height = large ? `${tall}px` : "";
    canvas.width = Math.round(wide * (large ? sharpness() : 2));
    canvas.height = Math.round(tall * (large ? sharpness() : 2));
    draw();
  }

  function paintTruth(pen) {
    const [xs, ys] = field.truth;
    pen.save();
    pen.beginPath();
    pen.rect(left, top, wide - left - right, tall - top - bottom);
    pen.clip();
    pen.strokeStyle = "#000000";
    pen.setLineDash([8, 4]);
    pen.beginPath();
    xs.forEach((x, i) =>
      i ? pen.lineTo(across(x), down(ys[i])) : pen.moveTo(across(x), down(ys[i]))
    );
    pen.stroke();
    pen.restore();
    pen.strokeStyle = "#0072B2";
  }

  // The point touched first follows up and down; a stroke on over others sets each that it passes.
  let held = null, hand = null, fixed = Boolean(field.truth);
  const place = (event) => {
    const frame = canvas.getBoundingClientRect();
    return [
      (event.clientX - frame.left) * wide / frame.width,
      (event.clientY - frame.top) * tall / frame.height,
    ];
  };
  const set = (i, y) => put(i, high - (high - low) * (y - top) / (tall - top - bottom));
  canvas.addEventListener("pointerdown", (event) => {
    if (fixed) return;
    hand = place(event);
    const far = field.points.map((point) => Math.abs(across(point) - hand[0]));
    held = far.indexOf(Math.min(...far));
    canvas.setPointerCapture(event.pointerId);
    set(held, hand[1]);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!hand) return;
    const [x, y] = place(event), [x0, y0] = hand;
    const passed = field.points.map((point, i) => ({ i, at: across(point) })).filter(({ at }) =>
      at >= Math.min(x0, x) - NEAR && at <= Math.max(x0, x) + NEAR
    );
    if (passed.some(({ i }) => i !== held)) held = null;
    if (held !== null) set(held, y);
    else {
      for (const { i, at } of passed) {
        const part = x === x0 ? 1 : Math.min(1, Math.max(0, (at - x0) / (x - x0)));
        set(i, y0 + part * (y - y0));
      }
    }
    hand = [x, y];
  });
  for (const end of ["pointerup", "pointercancel"]) {
    canvas.addEventListener(end, () => {
      if (!hand) return;
      hand = null;
      send();
    });
  }

  const row = make(
    "div",
    { class: "tl-points" },
    ...boxes.map((box, i) =>
      make(
        "div",
        {},
        labelFor(
          box,
          String(Number(field.points[i].toPrecision(3))),
          make("span", { class: "tl-hidden" }, `: ${field.y} at ${field.x}`),
        ),
        box,
      )
    ),
  );
  const way = "Draw with mouse or finger: a stroke sets the points that it passes, and each " +
    "can be dragged. Or type a value into each box; arrow up and down move it.";
  const told = make("p", { class: "tl-small" }, way);
  const shown = field.truth
    ? [
      canvas,
      make(
        "p",
        { class: "tl-small" },
        `Blue with rings: yours.${field.truth.length ? " Black dashes: computed." : ""}`,
      ),
    ]
    : [
      told,
      canvas,
      make("p", { class: "tl-small" }, `${field.y} at each ${field.x}:`),
      row,
    ];
  return {
    node: make(
      "fieldset",
      { class: "tl-drawn" },
      make("legend", {}, field.label),
      ...shown,
    ),
    read: () => boxes.map((box) => box.value.trim()),
    write: (value) => {
      boxes.forEach((box, i) => {
        box.value = Array.isArray(value) ? value[i] ?? "" : "";
      });
      draw();
    },
    fix: (on) => {
      fixed = on || Boolean(field.truth);
      canvas.classList.toggle("tl-fixed", fixed);
      told.style.visibility = on ? "hidden" : ""; // its lines stay: nothing jumps
      boxes.forEach((box) => {
        box.readOnly = on;
      });
    },
    focus: () => boxes[0].focus(),
    /** On a big screen so wide and high, in px. */
    fit: (width, height) => {
      large = true;
      resize({ ...BIG, wide: Math.max(1, width), tall: Math.max(1, height) });
    },
    /** As it stands in its card. */
    full: () => {
      large = false;
      resize(PLAIN);
    },
  };
}
