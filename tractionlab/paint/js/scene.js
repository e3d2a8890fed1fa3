// Scene: the car from above on its road, forces against their limits, brakes, lamp and slope.

const ROAD_HEIGHT = 176;
const SIDE_WIDTH = 240;
const SIDE_HEIGHT = 178;
const CELL_WIDTH = 122;
const CELL_HEIGHT = 58;
const PER_METRE = 34;
const LIMIT_RADIUS = 27;
const WHEEL_NAMES = ["front left", "front right", "rear left", "rear right"];

// Where everything of `scene` is at `time`.
function stateAt(scene, time) {
  const { i, next, part } = placeIn(scene.time, time);
  const one = (array) => array[i] * (1 - part) + array[next] * part;
  const four = (array) => [0, 1, 2, 3].map((w) => array[4 * i + w] * (1 - part) + array[4 * next + w] * part);
  return {
    x: one(scene.x), y: one(scene.y), yaw: one(scene.yaw), steer: one(scene.steer), lamp: scene.lamp[part < 0.5 ? i : next] > 0.5,
    angle: four(scene.wheel_angle), drive: four(scene.drive_force), side: four(scene.side_force), limit: four(scene.grip_limit), pressure: four(scene.pressure),
  };
}

function wheelPlaces(scene) {
  const front = scene.to_front, rear = scene.to_front - scene.wheelbase, half = scene.track / 2;
  return [[front, half], [front, -half], [rear, half], [rear, -half]];
}

class CarPicture {
  constructor(host) {
    this.canvas = make("canvas", { role: "img" });
    host.append(this.canvas);
    this.host = host;
    this.width = 0;
    this.scenes = [];
    this.force = new SteadyRange();
    this.brake = new SteadyRange();
    this.calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  }

  set(scenes) {
    this.scenes = scenes;
    this.host.hidden = !scenes.length;
    if (!scenes.length) return;
    this.force.follow(0, Math.max(1, extremes(scenes.map((scene) => scene.grip_limit))[1]));
    this.brake.follow(0, Math.max(20, extremes([scenes[0].pressure])[1]));
    const names = scenes[0].road.map((patch) => `${patch[4]} with grip ${patch[5].toFixed(2)}`).join(" and ");
    this.canvas.setAttribute("aria-label", `The car from above on ${names}, with tyre forces, grip limits and brake pressures${scenes.length > 1 ? `; a dashed outline shows ${scenes[1].label || "the second run"}` : ""}.`);
  }

  get span() { return this.scenes.length ? [0, Math.max(...this.scenes.map((scene) => scene.time[scene.time.length - 1]))] : null; }

  paint(time, playing, dt) {
    const width = this.width;
    if (!this.scenes.length || !width) return;
    const beside = width >= 560;
    const roadWidth = beside ? width - SIDE_WIDTH - 8 : width;
    const across = !beside && width >= 4 * CELL_WIDTH ? 4 : 2;
    const pen = sizeCanvas(this.canvas, width, beside ? ROAD_HEIGHT : ROAD_HEIGHT + 8 + SIDE_HEIGHT - (across === 4 ? CELL_HEIGHT : 0));
    const scene = this.scenes[0], now = stateAt(scene, time);
    pen.save();
    pen.beginPath();
    pen.rect(0, 0, roadWidth, ROAD_HEIGHT);
    pen.clip();
    this.paintWorld(pen, scene, now, time, roadWidth, dt);
    pen.restore();
    pen.strokeStyle = "#666666";
    pen.lineWidth = 1;
    pen.setLineDash([]);
    pen.strokeRect(0.5, 0.5, roadWidth - 1, ROAD_HEIGHT - 1);
    pen.save();
    pen.translate(beside ? roadWidth + 12 : 0, beside ? 0 : ROAD_HEIGHT + 8);
    this.paintSide(pen, scene, now, playing, across);
    pen.translate(0, across === 4 ? -CELL_HEIGHT : 0);
    if (this.scenes.length > 1) this.paintComparison(pen, this.scenes[1], time, now);
    pen.restore();
  }

  paintWorld(pen, scene, now, time, width, dt) {
    const floor = ROAD_HEIGHT - 22, middle = floor / 2;
    const eyeY = now.y - Math.max(-0.5, Math.min(0.5, now.y));
    const eye = {
      width, height: ROAD_HEIGHT, ratio: window.devicePixelRatio || 1,
      toX: (m) => width * 0.45 + (m - now.x) * PER_METRE,
      toY: (m) => middle - (m - eyeY) * PER_METRE,
      toMetre: (x) => now.x + (x - width * 0.45) / PER_METRE,
    };
    paintRoad(pen, scene.road, eye);
    paintRuler(pen, eye, floor);
    pen.save();
    pen.beginPath();
    pen.rect(0, 0, width, floor);
    pen.clip();
    if (this.scenes.length > 1) this.paintGhost(pen, this.scenes[1], time, eye);
    pen.save();
    pen.translate(eye.toX(now.x), eye.toY(now.y));
    pen.rotate(-now.yaw);
    this.paintCar(pen, scene, now, dt, stateAt(scene, time - dt).angle);
    pen.restore();
    paintRoadNames(pen, scene.road, eye, floor);
    if (this.scenes.length > 1) this.paintAway(pen, this.scenes[1], time, now, eye);
    pen.restore();
  }

  outline(pen, scene) {
    const back = (scene.to_front - scene.wheelbase - 0.65) * PER_METRE, length = (scene.wheelbase + 1.4) * PER_METRE;
    const half = (scene.track / 2 + 0.1) * PER_METRE;
    pen.beginPath();
    pen.roundRect(back, -half, length, 2 * half, [12, 22, 22, 12]);
  }

  paintCar(pen, scene, now, dt, before) {
    this.outline(pen, scene);
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
      this.paintForce(pen, now.drive[w], now.side[w], now.limit[w]);
      pen.restore();
    });
  }

  paintForce(pen, drive, side, limit) {
    const scale = LIMIT_RADIUS / this.force.high;
    const size = Math.hypot(drive, side), atLimit = limit > 0 && size > 0.97 * limit;
    pen.setLineDash([]);
    pen.beginPath();
    pen.arc(0, 0, Math.max(1.5, limit * scale), 0, 7);
    pen.strokeStyle = COLOURS[1];
    pen.lineWidth = atLimit ? 3 : 1.5;
    pen.stroke();
    if (size * scale < 1) return;
    const x = drive * scale, y = -side * scale, along = Math.atan2(y, x), head = Math.min(9, Math.max(4, size * scale * 0.6));
    const shaft = new Path2D(), tip = new Path2D();
    shaft.moveTo(0, 0);
    shaft.lineTo(x - head * 0.6 * Math.cos(along), y - head * 0.6 * Math.sin(along));
    tip.moveTo(x, y);
    tip.lineTo(x - head * Math.cos(along - 0.55), y - head * Math.sin(along - 0.55));
    tip.lineTo(x - head * Math.cos(along + 0.55), y - head * Math.sin(along + 0.55));
    tip.closePath();
    pen.lineJoin = "round";
    for (const [colour, extra] of [["#ffffff", 3], [COLOURS[2], 0]]) {
      pen.strokeStyle = pen.fillStyle = colour;
      pen.lineWidth = 3 + extra;
      pen.stroke(shaft);
      pen.lineWidth = 1 + extra;
      pen.stroke(tip);
      pen.fill(tip);
    }
  }

  paintGhost(pen, scene, time, eye) {
    const ghost = stateAt(scene, time);
    pen.save();
    pen.translate(eye.toX(ghost.x), eye.toY(ghost.y));
    pen.rotate(-ghost.yaw);
    this.outline(pen, scene);
    pen.setLineDash([7, 5]);
    pen.strokeStyle = INK;
    pen.lineWidth = 2;
    pen.stroke();
    pen.setLineDash([]);
    pen.restore();
  }

  // Where the second car is when it has left the window.
  paintAway(pen, scene, time, now, eye) {
    const gap = stateAt(scene, time).x - now.x, behind = gap < 0;
    const reach = (scene.wheelbase + 1.4) * PER_METRE, x = eye.toX(now.x + gap);
    if (x > -reach / 2 && x < eye.width + reach / 2) return;
    const words = behind ? `\u25C0 ${Math.abs(gap).toFixed(1)} m` : `${gap.toFixed(1)} m \u25B6`;
    pen.font = FONT;
    chip(pen, words, behind ? 5 : eye.width - pen.measureText(words).width - 13, ROAD_HEIGHT / 2 - 20);
  }

  paintComparison(pen, scene, time, now) {
    const gap = stateAt(scene, time).x - now.x;
    pen.setLineDash([7, 5]);
    pen.lineWidth = 2;
    pen.strokeStyle = INK;
    pen.beginPath();
    pen.moveTo(0, 153);
    pen.lineTo(24, 153);
    pen.stroke();
    pen.setLineDash([]);
    pen.font = FONT;
    pen.textAlign = "left";
    pen.fillStyle = INK;
    pen.fillText(fitted(pen, scene.label || "second run", SIDE_WIDTH - 34), 32, 153.5);
    pen.fillText(Math.abs(gap) < 0.05 ? "side by side" : `${Math.abs(gap).toFixed(1)} m ${gap < 0 ? "behind" : "ahead"}`, 32, 169.5);
  }

  paintSide(pen, scene, now, playing, across) {
    const lit = now.lamp && (!playing || this.calm.matches || Math.floor(performance.now() / 250) % 2 === 0);
    pen.setLineDash([]);
    pen.lineWidth = 1.5;
    pen.strokeStyle = INK;
    pen.beginPath();
    pen.arc(9, 11, 7, 0, 7);
    pen.fillStyle = lit ? COLOURS[2] : "#ffffff";
    pen.fill();
    pen.stroke();
    pen.font = now.lamp ? BOLD : FONT;
    pen.textAlign = "left";
    pen.textBaseline = "middle";
    pen.fillStyle = INK;
    pen.fillText(now.lamp ? "control working" : "control resting", 22, 11.5);
    this.paintSlope(pen, scene.slope);
    const columns = [2, 0, 3, 1];
    columns.forEach((w, place) => this.paintCell(pen, (place % across) * CELL_WIDTH, 27 + Math.floor(place / across) * CELL_HEIGHT, w, scene, now));
  }

  paintSlope(pen, slope) {
    const text = Math.abs(slope) < 0.0005 ? "level" : `${slope > 0 ? "up" : "down"} ${Math.round(Math.abs(slope) * 100)} %`;
    pen.font = FONT;
    pen.textAlign = "left";
    pen.fillText(text, 184, 11.5);
    const rise = Math.max(-9, Math.min(9, slope * 45));
    pen.beginPath();
    pen.moveTo(144, 11 + rise);
    pen.lineTo(178, 11 - rise);
    pen.lineTo(178, 20);
    pen.lineTo(144, 20);
    pen.closePath();
    pen.fillStyle = "#dddddd";
    pen.fill();
    pen.stroke();
    pen.fillStyle = INK;
  }

  paintCell(pen, x, y, w, scene, now) {
    pen.font = BOLD;
    pen.textAlign = "left";
    pen.fillStyle = INK;
    pen.fillText(WHEEL_NAMES[w], x, y + 8);
    pen.font = FONT;
    if (scene.driven[w]) pen.fillText("driven", x + 74, y + 8);
    const used = now.limit[w] > 0 ? Math.hypot(now.drive[w], now.side[w]) / now.limit[w] : 0;
    this.paintBar(pen, x, y + 26, "grip", used, `${Math.round(100 * used)} %`, COLOURS[2]);
    this.paintBar(pen, x, y + 43, "brake", now.pressure[w] / this.brake.high, `${Math.round(now.pressure[w])} bar`, COLOURS[1]);
  }

  paintBar(pen, x, y, word, part, text, colour) {
    pen.textAlign = "left";
    pen.fillStyle = INK;
    pen.fillText(word, x, y);
    pen.fillStyle = colour;
    pen.fillRect(x + 38, y - 5, 30 * Math.max(0, Math.min(1, part)), 9);
    pen.strokeStyle = "#666666";
    pen.lineWidth = 1;
    pen.strokeRect(x + 37.5, y - 5.5, 31, 10);
    pen.fillStyle = INK;
    pen.textAlign = "right";
    pen.fillText(text, x + 112, y);
  }
}

// A wheel from above: tread stripes run over the top as it turns; fast ones blur over the way they went since the last frame.
function paintWheel(pen, radius, angle, turned) {
  const half = 4.5, pitch = Math.PI / 6, sweep = Math.min(Math.abs(turned), pitch);
  pen.fillStyle = "#ffffff";
  pen.fillRect(-radius, -half, 2 * radius, 2 * half);
  pen.fillStyle = `rgba(0,0,0,${1 - 0.65 * sweep / pitch})`;
  const width = 0.1 + sweep;
  const offset = ((angle % pitch) + pitch) % pitch;
  for (let phi = -Math.PI / 2 + offset - pitch; phi < Math.PI / 2; phi += pitch) {
    const from = Math.max(-Math.PI / 2, phi - width / 2), to = Math.min(Math.PI / 2, phi + width / 2);
    if (to > from) pen.fillRect(radius * Math.sin(from), -half, radius * (Math.sin(to) - Math.sin(from)), 2 * half);
  }
  pen.strokeStyle = INK;
  pen.lineWidth = 1.5;
  pen.strokeRect(-radius, -half, 2 * radius, 2 * half);
}
