// Scene: the road with one car, perhaps a second one dashed, and the gauges; the window follows the
// first car.

import { outlineCar, paintCar, PER_METRE, stateAt } from "./car.js";
import {
  CELL_HEIGHT,
  CELL_WIDTH,
  paintComparison,
  paintGauges,
  paintLamp,
  SIDE_HEIGHT,
  SIDE_WIDTH,
} from "./gauges.js";
import { FONT, INK } from "./legend.js";
import { make } from "./make.js";
import { extremes, SteadyRange } from "./numbers.js";
import { chip, paintRoad, paintRoadNames, paintRuler } from "./road.js";
import { sharpness } from "./sharp.js";
import { sizeCanvas } from "./still.js";

const ROAD_HEIGHT = 176, LAMP_HEIGHT = 22;
const AROUND_CAR = 0.9; // m in front of and behind the axles: bumpers and rings of grip
export const LOW_ROAD = 122;

export class CarPicture {
  constructor(host) {
    this.canvas = make("canvas", { role: "img" });
    host.append(this.canvas);
    this.host = host;
    this.width = 0;
    this.brief = false;
    this.low = LOW_ROAD; // height of the road where the picture is brief
    this.scenes = [];
    this.force = new SteadyRange();
    this.brake = new SteadyRange();
    this.calm = globalThis.matchMedia("(prefers-reduced-motion: reduce)");
  }

  set(scenes) {
    this.scenes = scenes;
    this.host.hidden = !scenes.length;
    if (!scenes.length) return;
    this.force.follow(0, Math.max(1, extremes(scenes.map((scene) => scene.grip_limit))[1]));
    this.brake.follow(0, Math.max(20, extremes([scenes[0].pressure])[1]));
    const names = scenes[0].road.map((patch) => `${patch[4]} with grip ${patch[5].toFixed(2)}`)
      .join(" and ");
    this.canvas.setAttribute(
      "aria-label",
      `The car from above on ${names}, with tyre forces, grip limits and brake pressures${
        scenes.length > 1 ? `; a dashed outline shows ${scenes[1].label || "the second run"}` : ""
      }.`,
    );
  }

  get span() {
    return this.scenes.length
      ? [0, Math.max(...this.scenes.map((scene) => scene.time[scene.time.length - 1]))]
      : null;
  }

  // Brief: the picture stands above charts beside a circuit, which shows the pressures; of the
  // gauges only lamp and slope remain.
  get roadHeight() {
    return this.brief ? this.low : ROAD_HEIGHT;
  }

  get gaugesBeside() {
    return this.width >= 560 && !this.brief;
  }

  get across() {
    return !this.gaugesBeside && this.width >= 4 * CELL_WIDTH ? 4 : 2;
  }

  get height() {
    if (!this.scenes.length) return 0;
    if (this.brief) return this.low + 8 + LAMP_HEIGHT;
    return this.gaugesBeside
      ? ROAD_HEIGHT
      : ROAD_HEIGHT + 8 + SIDE_HEIGHT - (this.across === 4 ? CELL_HEIGHT : 0);
  }

  paint(time, playing, dt) {
    const { width, roadHeight, across, gaugesBeside: beside } = this;
    if (!this.scenes.length || !width) return;
    const roadWidth = beside ? width - SIDE_WIDTH - 8 : width;
    const pen = sizeCanvas(this.canvas, width, this.height);
    const scene = this.scenes[0], now = stateAt(scene, time);
    pen.save();
    pen.beginPath();
    pen.rect(0, 0, roadWidth, roadHeight);
    pen.clip();
    this.paintWorld(pen, scene, now, time, roadWidth, dt);
    pen.restore();
    pen.strokeStyle = "#666666";
    pen.lineWidth = 1;
    pen.setLineDash([]);
    pen.strokeRect(0.5, 0.5, roadWidth - 1, roadHeight - 1);
    pen.save();
    pen.translate(beside ? roadWidth + 12 : 0, beside ? 0 : roadHeight + 8);
    const lit = now.lamp &&
      (!playing || this.calm.matches || Math.floor(performance.now() / 250) % 2 === 0);
    paintLamp(pen, scene, now, lit);
    if (!this.brief) paintGauges(pen, scene, now, across, this.brake.high);
    pen.translate(0, across === 4 ? -CELL_HEIGHT : 0);
    if (this.scenes.length > 1 && !this.brief) {
      paintComparison(pen, this.scenes[1], stateAt(this.scenes[1], time).x - now.x);
    }
    pen.restore();
  }

  paintWorld(pen, scene, now, time, width, dt) {
    const floor = this.roadHeight - 22, middle = floor / 2;
    const eyeY = now.y - Math.max(-0.5, Math.min(0.5, now.y));
    const eye = {
      width,
      height: this.roadHeight,
      ratio: sharpness(),
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
    paintCar(pen, scene, now, dt, stateAt(scene, time - dt).angle, this.force.high);
    pen.restore();
    const half = (scene.wheelbase / 2 + AROUND_CAR) * PER_METRE, at = eye.toX(now.x);
    paintRoadNames(pen, scene.road, eye, floor, at - half, at + half);
    if (this.scenes.length > 1) this.paintAway(pen, this.scenes[1], time, now, eye);
    pen.restore();
  }
  paintGhost(pen, scene, time, eye) {
    const ghost = stateAt(scene, time);
    pen.save();
    pen.translate(eye.toX(ghost.x), eye.toY(ghost.y));
    pen.rotate(-ghost.yaw);
    outlineCar(pen, scene);
    pen.setLineDash([7, 5]);
    pen.strokeStyle = INK;
    pen.lineWidth = 2;
    pen.stroke();
    pen.setLineDash([]);
    pen.restore();
  }

  // Where the second car is when it has left the globalThis.
  paintAway(pen, scene, time, now, eye) {
    const gap = stateAt(scene, time).x - now.x, behind = gap < 0;
    const reach = (scene.wheelbase + 1.4) * PER_METRE, x = eye.toX(now.x + gap);
    if (x > -reach / 2 && x < eye.width + reach / 2) return;
    const words = behind ? `\u25C0 ${Math.abs(gap).toFixed(1)} m` : `${gap.toFixed(1)} m \u25B6`;
    pen.font = FONT;
    chip(
      pen,
      words,
      behind ? 5 : eye.width - pen.measureText(words).width - 13,
      this.roadHeight / 2 - 20,
    );
  }
}
