// Car: one car from above with turning wheels, steered in front, and each tyre's force inside its
// grip limit.

import { INK } from "./legend.js";
import { COLOURS } from "./look.js";
import { placeIn } from "./numbers.js";

export const PER_METRE = 34;
const LIMIT_RADIUS = 27;

export function stateAt(scene, time) {
  const { i, next, part } = placeIn(scene.time, time);
  const one = (array) => array[i] * (1 - part) + array[next] * part;
  const four = (array) =>
    [0, 1, 2, 3].map((w) => array[4 * i + w] * (1 - part) + array[4 * next + w] * part);
  return {
    x: one(scene.x),
    y: one(scene.y),
    yaw: one(scene.yaw),
    steer: one(scene.steer),
    lamp: scene.lamp[part < 0.5 ? i : next] > 0.5,
    angle: four(scene.wheel_angle),
    drive: four(scene.drive_force),
    side: four(scene.side_force),
    limit: four(scene.grip_limit),
    pressure: four(scene.pressure),
  };
}

function wheelPlaces(scene) {
  const front = scene.to_front, rear = scene.to_front - scene.wheelbase, half = scene.track / 2;
  return [[front, half], [front, -half], [rear, half], [rear, -half]];
}

export function outlineCar(pen, scene) {
  const back = (scene.to_front - scene.wheelbase - 0.65) * PER_METRE,
    length = (scene.wheelbase + 1.4) * PER_METRE;
  const half = (scene.track / 2 + 0.1) * PER_METRE;
  pen.beginPath();
  pen.roundRect(back, -half, length, 2 * half, [12, 22, 22, 12]);
}

// `strongest`: the force that is drawn as long as LIMIT_RADIUS; `before`: wheel angles one frame
// ago.
export function paintCar(pen, scene, now, dt, before, strongest) {
  outlineCar(pen, scene);
  pen.fillStyle = "rgba(255,255,255,0.82)";
  pen.fill();
  pen.strokeStyle = INK;
  pen.lineWidth = 1.5;
  pen.stroke();
  const glass = (scene.to_front - 0.55) * PER_METRE, half = (scene.track / 2 - 0.12) * PER_METRE;
  pen.lineWidth = 1;
  pen.beginPath();
  pen.moveTo(glass, -half);
  pen.quadraticCurveTo(glass + 14, 0, glass, half);
  pen.stroke();
  const places = wheelPlaces(scene);
  for (const [a, b] of [[0, 1], [2, 3]]) {
    if (!scene.driven[a] && !scene.driven[b]) continue;
    pen.lineWidth = 4;
    pen.strokeStyle = "#777777";
    pen.beginPath();
    pen.moveTo(places[a][0] * PER_METRE, -places[a][1] * PER_METRE);
    pen.lineTo(places[b][0] * PER_METRE, -places[b][1] * PER_METRE);
    pen.stroke();
  }
  places.forEach(([x, y], w) => {
    pen.save();
    pen.translate(x * PER_METRE, -y * PER_METRE);
    if (w < 2) pen.rotate(-now.steer);
    paintWheel(pen, scene.tyre_radius * PER_METRE, now.angle[w], dt ? now.angle[w] - before[w] : 0);
    paintForce(pen, now.drive[w], now.side[w], now.limit[w], strongest);
    pen.restore();
  });
}

function paintForce(pen, drive, side, limit, strongest) {
  const scale = LIMIT_RADIUS / strongest;
  const size = Math.hypot(drive, side), atLimit = limit > 0 && size > 0.97 * limit;
  pen.setLineDash([]);
  pen.beginPath();
  pen.arc(0, 0, Math.max(1.5, limit * scale), 0, 7);
  pen.strokeStyle = COLOURS[1];
  pen.lineWidth = atLimit ? 3 : 1.5;
  pen.stroke();
  if (size * scale < 1) return;
  const x = drive * scale,
    y = -side * scale,
    along = Math.atan2(y, x),
    head = Math.min(9, Math.max(4, size * scale * 0.6));
  const shaft = new Path2D(), tip = new Path2D();
  shaft.moveTo(0, 0);
  shaft.lineTo(x - head * 0.6 * Math.cos(along), y - head * 0.6 * Math.sin(along));
  tip.moveTo(x, y);
  tip.lineTo(x - head * Math.cos(along - 0.55), y - head * Math.sin(along - 0.55));
  tip.lineTo(x - head * Math.cos(along + 0.55), y - head * Math.sin(along + 0.55));
  tip.closePath();
  pen.lineJoin = "round";
  for (
    const { colour, extra } of [{ colour: "#ffffff", extra: 3 }, { colour: COLOURS[2], extra: 0 }]
  ) {
    pen.strokeStyle = pen.fillStyle = colour;
    pen.lineWidth = 3 + extra;
    pen.stroke(shaft);
    pen.lineWidth = 1 + extra;
    pen.stroke(tip);
    pen.fill(tip);
  }
}

// A wheel from above: tread stripes run over the top as it turns; fast ones blur over the way they
// went since the last frame.
function paintWheel(pen, radius, angle, turned) {
  const half = 4.5, pitch = Math.PI / 6, sweep = Math.min(Math.abs(turned), pitch);
  pen.fillStyle = "#ffffff";
  pen.fillRect(-radius, -half, 2 * radius, 2 * half);
  pen.fillStyle = `rgba(0,0,0,${1 - 0.65 * sweep / pitch})`;
  const width = 0.1 + sweep;
  const offset = ((angle % pitch) + pitch) % pitch;
  for (let phi = -Math.PI / 2 + offset - pitch; phi < Math.PI / 2; phi += pitch) {
    const from = Math.max(-Math.PI / 2, phi - width / 2),
      to = Math.min(Math.PI / 2, phi + width / 2);
    if (to > from) {
      pen.fillRect(
        radius * Math.sin(from),
        -half,
        radius * (Math.sin(to) - Math.sin(from)),
        2 * half,
      );
    }
  }
  pen.strokeStyle = INK;
  pen.lineWidth = 1.5;
  pen.strokeRect(-radius, -half, 2 * radius, 2 * half);
}
