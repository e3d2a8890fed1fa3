// Circuit shapes: draws the plain shapes of a symbol, moved by its two motions. What a shape is, is
// told in circuit_symbols.py.

import { INK } from "./legend.js";

export const FILLS = { paper: "#ffffff", ink: "#1a1a1a", fluid: "#a9cfe6", coil: "#e4e4e4" };
export const CIRCUIT_FONT =
  "11.5px system-ui, -apple-system, 'Segoe UI', 'Liberation Sans', Arial, sans-serif";

/** How much heavier lines are in a drawing that is small on a big screen. */
export const HEAVY = 1.7;

/** `bare`: without the letters inside a symbol, in heavy lines. */
export function paintShapes(pen, shapes, first, second, bare = false) {
  const channels = [first, Math.max(0, second), Math.max(0, -second)];
  for (const shape of shapes) {
    if ("show" in shape && channels[shape.show] < 0.5) continue;
    if ("hide" in shape && channels[shape.hide] >= 0.5) continue;
    if (shape.level) paintLevel(pen, shape, first);
    else if (!shape.t) paintOutline(pen, shape, channels, bare ? HEAVY : 1);
    else if (!bare) paintLetter(pen, shape);
  }
}

function paintLevel(pen, { level: [x, y, width, height], hang }, filled) {
  const tall = height * Math.max(0, Math.min(1, filled));
  pen.fillStyle = FILLS.fluid;
  pen.beginPath();
  pen.roundRect(x, hang ? y : y + height - tall, width, tall, Math.min(6, tall / 2));
  pen.fill();
}

function paintLetter(pen, { t, at, small }) {
  pen.font = small ? CIRCUIT_FONT.replace("11.5", "8.5") : `bold ${CIRCUIT_FONT}`;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.fillStyle = INK;
  pen.fillText(t, at[0], at[1] + 0.5);
}

function paintOutline(pen, shape, channels, heavy) {
  let dx = 0, dy = 0;
  if (shape.by) {
    dx = channels[shape.by[0]] * shape.by[1];
    dy = channels[shape.by[0]] * shape.by[2];
  }
  pen.beginPath();
  if (shape.o) pen.arc(shape.o[0] + dx, shape.o[1] + dy, shape.o[2], 0, 7);
  else if (shape.of) {
    const [fixed, end] = shape.of, stretch = (end + dx - fixed) / (end - fixed);
    for (const [x, y] of shape.p) pen.lineTo(fixed + (x - fixed) * stretch, y);
  } else if (shape.turn) {
    const [cx, cy] = shape.turn, c = Math.cos(channels[0]), s = Math.sin(channels[0]);
    for (const [x, y] of shape.p) {
      pen.lineTo(cx + (x - cx) * c - (y - cy) * s, cy + (x - cx) * s + (y - cy) * c);
    }
  } else for (const [x, y] of shape.p) pen.lineTo(x + dx, y + dy);
  if (shape.c) pen.closePath();
  if (shape.f) {
    pen.fillStyle = FILLS[shape.f];
    pen.fill();
  }
  if (!shape.w) return;
  pen.lineWidth = heavy * shape.w;
  pen.setLineDash(shape.d || []);
  pen.strokeStyle = INK;
  pen.stroke();
}

// Lengths along a polyline, for arrows that move on it.
export function measured(points) {
  const at = [0];
  for (let i = 1; i < points.length; i++) {
    at.push(
      at[i - 1] + Math.hypot(points[i][0] - points[i - 1][0], points[i][1] - points[i - 1][1]),
    );
  }
  return { points, at, length: at[at.length - 1] };
}

export function paintArrows(pen, path, phase, forward) {
  const gap = 30,
    size = 6.5,
    count = Math.max(1, Math.round(path.length / gap)),
    pitch = path.length / count;
  let leg = 0;
  for (let k = 0; k < count; k++) {
    const way = (k + phase) * pitch;
    if (path.length > 20 && (way < size || way > path.length - size)) continue;
    while (leg < path.at.length - 2 && path.at[leg + 1] < way) leg++;
    const [x0, y0] = path.points[leg], [x1, y1] = path.points[leg + 1];
    const long = path.at[leg + 1] - path.at[leg] || 1, part = (way - path.at[leg]) / long;
    const sign = forward ? 1 : -1, ux = sign * (x1 - x0) / long, uy = sign * (y1 - y0) / long;
    const x = x0 + (x1 - x0) * part, y = y0 + (y1 - y0) * part;
    pen.moveTo(x + size * ux, y + size * uy);
    pen.lineTo(x - size * 0.6 * ux - size * 0.75 * uy, y - size * 0.6 * uy + size * 0.75 * ux);
    pen.lineTo(x - size * 0.6 * ux + size * 0.75 * uy, y - size * 0.6 * uy - size * 0.75 * ux);
    pen.closePath();
  }
}
