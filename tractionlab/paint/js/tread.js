// Tread: blocks between belt and road from the side, lengths to one scale; the front of the contact
// patch is to the right.

import { between } from "./frames.js";
import { BOLD, FONT, INK, QUIET } from "./legend.js";

export const TREAD_HEIGHT = 190;
const RADIUS = 300, ROAD = 40, FOOT = 2.4; // mm: of the wheel; px: under the road; mm: half a block
const MARK = 20; // mm between two marks on the road

/** @param {any} tread */
export function readTread(tread) {
  const [holds, slides] = tread.pushes.map((push) => Math.round(push));
  return `${tread.words}. They push ${holds} and ${slides} newtons`;
}

const speed = (metres) => `${(3.6 * metres).toFixed(1)} km/h`;

/** Height of the belt over its place in the patch [mm], `away` mm beyond the end of the patch. */
const rise = (away, half) => (away > 0 ? (half * away + away * away / 2) / RADIUS : 0);

function paintBlock(pen, { x, y, tip, ground, half }, look) {
  pen.beginPath();
  pen.moveTo(x - half, y);
  pen.lineTo(tip - half, ground);
  pen.lineTo(tip + half, ground);
  pen.lineTo(x + half, y);
  pen.closePath();
  pen.fillStyle = look;
  pen.fill();
  pen.stroke();
}

/** Where the blocks are at `time`: their place [mm] from the front end of the patch. */
export function blocksAt(tread, time, margin) {
  const { block, length, belt } = tread, first = -margin - block;
  const moved = (belt * time) % block, places = [];
  for (let u = Math.ceil(first / block) * block + moved; u < length + margin + block; u += block) {
    places.push(u);
  }
  return places;
}

function paintRoad(pen, tread, time, front, scale, ground, width) {
  pen.fillStyle = "#e4e2de";
  pen.fillRect(0, ground, width, ROAD);
  pen.strokeStyle = INK;
  pen.lineWidth = 1.5;
  pen.beginPath();
  pen.moveTo(0, ground);
  pen.lineTo(width, ground);
  pen.stroke();
  pen.fillStyle = "#6d675d";
  const moved = (tread.road * time) % MARK, first = Math.ceil((front - width) / scale / MARK);
  for (let k = first - 1; front - (k * MARK + moved) * scale > -9; k++) {
    const x = front - (k * MARK + moved) * scale;
    pen.beginPath();
    pen.moveTo(x, ground + 1);
    pen.lineTo(x - 5, ground + 10);
    pen.lineTo(x + 5, ground + 10);
    pen.fill();
  }
}

// A bracket from x0 to x1 with words over it; nothing where the part has no length.
function paintPart(pen, x0, x1, y, words, width) {
  if (x1 - x0 < 1) return;
  pen.strokeStyle = INK;
  pen.lineWidth = 1;
  pen.beginPath();
  pen.moveTo(x0 + 1, y + 6);
  pen.lineTo(x0 + 1, y);
  pen.lineTo(x1 - 1, y);
  pen.lineTo(x1 - 1, y + 6);
  pen.stroke();
  pen.font = BOLD;
  pen.fillStyle = INK;
  const half = pen.measureText(words).width / 2;
  pen.textAlign = "center";
  pen.fillText(words, Math.max(half + 4, Math.min(width - half - 4, (x0 + x1) / 2)), y - 9);
}

/** @param {any} tread @param {number} time [ms] @param {number} width @param {number} height */
export function paintTread(pen, tread, time, width, height) {
  const scale = Math.min(4.4, (width - 150) / tread.length), half = tread.length / 2;
  const ground = height - ROAD, front = width / 2 + half * scale, rear = front - 2 * half * scale;
  const belt = ground - tread.depth * scale, margin = rear / scale;
  const split = front - tread.holding * scale;
  pen.textBaseline = "middle";
  paintRoad(pen, tread, time, front, scale, ground, width);
  pen.save();
  pen.beginPath();
  pen.rect(0, 58, width, ground - 58);
  pen.clip();
  pen.strokeStyle = INK;
  pen.lineWidth = 1;
  for (const u of blocksAt(tread, time, margin)) {
    const lift = scale * rise(Math.max(-u, u - tread.length), half);
    const inside = u >= 0 && u <= tread.length;
    const x = front - u * scale, y = belt - lift;
    const tip = x + (inside ? between(tread.place, tread.lean, u) * scale : 0);
    const slides = inside && u > tread.holding;
    paintBlock(
      pen,
      { x, y, tip, ground: ground - lift, half: FOOT * scale },
      inside ? (slides ? "#ffffff" : "#4a4f55") : "#c9ced3",
    );
    if (!slides) continue;
    pen.beginPath();
    for (const line of [3, 7]) {
      pen.moveTo(tip + FOOT * scale + 3, ground - line);
      pen.lineTo(tip + FOOT * scale + 10, ground - line);
    }
    pen.stroke();
  }
  // The belt over the blocks.
  pen.lineWidth = 6;
  pen.strokeStyle = "#22262a";
  pen.beginPath();
  for (let x = 0; x <= width; x += 4) {
    pen.lineTo(x, belt - 3 - scale * rise(Math.max(rear - x, x - front) / scale, half));
  }
  pen.stroke();
  pen.restore();
  const [holds, slides] = tread.pushes.map((push) => Math.round(push));
  const both = tread.holding > 0 && tread.holding < tread.length;
  const top = 52;
  paintPart(pen, split, front, top, `holds ${Math.round(tread.holding)} mm, ${holds} N`, width);
  paintPart(
    pen,
    rear,
    split,
    both && Math.min(split - rear, front - split) < 130 ? top - 16 : top,
    `slides ${Math.round(tread.length - tread.holding)} mm, ${slides} N`,
    width,
  );
  paintSpeeds(pen, tread, width, height, ground);
}

function paintSpeeds(pen, tread, width, height, ground) {
  pen.font = FONT;
  pen.fillStyle = INK;
  pen.textAlign = "left";
  pen.fillText(`${tread.surface}: the road passes at ${speed(tread.road)}`, 6, ground + 25);
  pen.textAlign = "right";
  pen.fillText("driving \u25B6", width - 6, ground + 25);
  pen.fillStyle = QUIET;
  pen.fillText(`${Math.round(1000 / tread.rate)} times slower than in truth`, width - 6, 10);
  pen.textAlign = "left";
  pen.fillText(`belt passes at ${speed(tread.belt)}`, 6, 10);
}
