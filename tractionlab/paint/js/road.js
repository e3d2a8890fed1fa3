// Road: patches with a hatch of their own per surface, name and grip, and a ruler along the edge.

import { FONT, INK } from "./legend.js";
import { make } from "./make.js";
import { inWords } from "./numbers.js";

// In the order of the hatch numbers the kernel sends. Each draws on a tile of 24 x 24; pale, so
// that ink stays readable on it.
const HATCHES = [
  {
    paper: "#e3eef6",
    draw: (pen) => {
      for (const [x, y] of [[2, 6], [13, 3], [8, 16], [18, 19]]) {
        pen.moveTo(x, y);
        pen.lineTo(x + 4, y - 3);
      }
    },
  },
  {
    paper: "#f4f4f4",
    draw: (pen) => {
      for (const [x, y] of [[4, 4], [16, 4], [10, 12], [22, 12], [4, 20], [16, 20]]) {
        pen.moveTo(x + 1.2, y);
        pen.arc(x, y, 1.2, 0, 7);
      }
    },
  },
  {
    paper: "#e2e9ee",
    draw: (pen) => {
      for (const y of [5, 13, 21]) {
        pen.moveTo(0, y);
        pen.quadraticCurveTo(6, y - 5, 12, y);
        pen.quadraticCurveTo(18, y + 5, 24, y);
      }
    },
  },
  {
    paper: "#e6e4e1",
    draw: (pen) => {
      for (
        const [x, y] of [[3, 5], [11, 2], [19, 7], [6, 13], [15, 14], [22, 18], [2, 20], [10, 21]]
      ) {
        pen.moveTo(x, y);
        pen.lineTo(x + 1, y + 1);
      }
    },
  },
  {
    paper: "#efe8dc",
    draw: (pen) => {
      for (const [x, y] of [[5, 6], [17, 4], [11, 14], [20, 17], [4, 19]]) {
        pen.moveTo(x - 2, y + 1.5);
        pen.lineTo(x, y - 2);
        pen.lineTo(x + 2, y + 1.5);
        pen.lineTo(x - 2, y + 1.5);
      }
    },
  },
  {
    paper: "#ecece4",
    draw: (pen) => {
      pen.moveTo(0.5, 0);
      pen.lineTo(0.5, 24);
      pen.moveTo(0, 12);
      pen.lineTo(24, 12);
    },
  },
];

const tiles = new Map();

function tileOf(pen, index, ratio) {
  const key = `${index} ${ratio}`;
  if (!tiles.has(key)) {
    const canvas = make("canvas");
    canvas.width = canvas.height = Math.round(24 * ratio);
    const tile = canvas.getContext("2d");
    tile.scale(canvas.width / 24, canvas.width / 24);
    tile.fillStyle = HATCHES[index].paper;
    tile.fillRect(0, 0, 24, 24);
    tile.strokeStyle = "#9aa4ad";
    tile.lineWidth = 1;
    tile.beginPath();
    HATCHES[index].draw(tile);
    tile.stroke();
    tiles.set(key, canvas);
  }
  return pen.createPattern(tiles.get(key), "repeat");
}

// `eye`: {toX(m), toY(m), width, height, ratio}: the window onto the world.
export function paintRoad(pen, road, eye) {
  pen.fillStyle = "#fafafa";
  pen.fillRect(0, 0, eye.width, eye.height);
  for (const [from, to, low, high, , , hatch] of road) {
    const left = Math.max(-1, eye.toX(from)), right = Math.min(eye.width + 1, eye.toX(to));
    const top = Math.max(-1, eye.toY(high)), bottom = Math.min(eye.height + 1, eye.toY(low));
    if (right <= left || bottom <= top) continue;
    const pattern = tileOf(pen, hatch, eye.ratio);
    pattern.setTransform(
      new DOMMatrix([1 / eye.ratio, 0, 0, 1 / eye.ratio, eye.toX(0) % 24, eye.toY(0) % 24]),
    );
    pen.fillStyle = pattern;
    pen.fillRect(left, top, right - left, bottom - top);
    pen.strokeStyle = "#8a8a8a";
    pen.lineWidth = 1;
    pen.setLineDash([]);
    pen.strokeRect(left + 0.5, top + 0.5, right - left - 1, bottom - top - 1);
  }
}

export function chip(pen, text, x, y) {
  pen.font = FONT;
  pen.textAlign = "left";
  pen.textBaseline = "middle";
  const width = pen.measureText(text).width + 8;
  pen.fillStyle = "rgba(255,255,255,0.92)";
  pen.fillRect(x, y, width, 17);
  pen.fillStyle = INK;
  pen.fillText(text, x + 4, y + 9);
  return width;
}

/** Names at the left of each surface, or at its right where the car from `rear` to `front` is. */
export function paintRoadNames(pen, road, eye, floor, rear, front) {
  for (const [from, to, low, high, name, grip] of road) {
    const left = Math.max(0, eye.toX(from)), right = Math.min(eye.width, eye.toX(to));
    const text = `${name}, grip ${grip.toFixed(2)}`;
    pen.font = FONT;
    const wide = pen.measureText(text).width + 8;
    if (right - left < wide + 6) continue;
    const free = left + 5 + wide < rear || left > front || right - 5 - wide < front;
    const below = (low + high) / 2 < -0.2;
    chip(
      pen,
      text,
      free ? left + 5 : right - 5 - wide,
      below ? Math.min(eye.toY(low), floor) - 21 : Math.max(0, eye.toY(high)) + 4,
    );
  }
}

export function paintRuler(pen, eye, top) {
  pen.fillStyle = "#ffffff";
  pen.fillRect(0, top, eye.width, eye.height - top);
  pen.strokeStyle = INK;
  pen.fillStyle = INK;
  pen.lineWidth = 1;
  pen.font = FONT;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.beginPath();
  pen.moveTo(0, top + 0.5);
  pen.lineTo(eye.width, top + 0.5);
  const first = Math.floor(eye.toMetre(0)), last = Math.ceil(eye.toMetre(eye.width));
  for (let m = first; m <= last; m++) {
    const x = Math.round(eye.toX(m)) + 0.5, five = m % 5 === 0;
    pen.moveTo(x, top);
    pen.lineTo(x, top + (five ? 7 : 4));
    if (five && x > 20 && x < eye.width - 20) pen.fillText(`${inWords(m, 0)} m`, x, top + 14);
  }
  pen.stroke();
}
