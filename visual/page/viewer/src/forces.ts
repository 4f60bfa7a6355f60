/**
 * Forces on mast and gin pole as arrows: as long as they are large, drawn over everything.
 *
 * Places and forces come from tables, one row for each raising angle; between two rows lies the
 * straight line. How long an arrow is follows from one round scale for each system of units.
 */

import { type Vector2, Vector3 } from "three";
import type { ForceData, ForceRun, ForcesData } from "./data.ts";
import type { LabelLayer } from "./layer-data.ts";
import { floats, unpack } from "./packed.ts";
import { element } from "./dom.ts";
import type { Lettering } from "./lettering.ts";
import { mixed } from "./rig.ts";
import type { Boxes } from "./spots.ts";
import { angleText, forceText } from "./units.ts";
import type { Sign } from "./signs.ts";
import type { Viewer } from "./viewer.ts";

export const FORCES = "forces";

/** An arrow shorter than this does not show as one. [px] */
const SHORTEST = 9;
const HEAD = [13, 5.2] as const; // length and half width of a head [px]
const NAMED_AT = [1, 0.5, 0.75, 0.25]; // shares of an arrow where its name may stand

/** One force at one angle. */
export interface Force {
  key: string;
  name: string;
  inside: boolean;
  pushes: boolean;
  at: Vector3;
  vector: Vector3;
}

/** The forces of a raise at a row of its tables, between two rows where need be. */
export function forcesAt(run: ForceRun, row: number): Force[] {
  return run.forces.map((one) => {
    const [x, y, z, a, b, c] = mixed(tableOf(one), 6, row) as number[] as [number, number, number, number, number, number];
    const name = one.names[unpack(one.nameAt)[Math.round(row)] as number] ?? one.key;
    const { key, inside, pushes } = one;
    return { key, name, inside, pushes, at: new Vector3(x, y, z), vector: new Vector3(a, b, c) };
  });
}

/** Where the arrow of a force starts and ends: it ends where the force acts if it pushes. */
export function arrowOf(force: Force, newtonsPerMetre: number): { start: Vector3; end: Vector3 } {
  const step = force.vector.clone().divideScalar(newtonsPerMetre);
  const start = force.pushes ? force.at.clone().sub(step) : force.at.clone();
  return { start, end: start.clone().add(step) };
}

const tables = new WeakMap<ForceData, Float32Array>();

function tableOf(one: ForceData): Float32Array {
  let known = tables.get(one);
  if (!known) tables.set(one, (known = floats(one.table)));
  return known;
}

interface Arrow {
  force: Force;
  start: Vector3;
  end: Vector3;
  from: Vector2 | null;
  to: Vector2 | null;
}

export class Forces {
  /** What is said beside the arrows: the scale, and what is too small for an arrow. */
  readonly key = element("div", "hm-forces");
  private readonly viewer: Viewer;
  private said = "";
  private short: Force[] = [];

  constructor(viewer: Viewer, lettering: Lettering, host: HTMLElement) {
    this.viewer = viewer;
    this.key.hidden = true;
    host.append(this.key);
    viewer.extras.push(() => this.labels());
    lettering.painters.push((ink, boxes) => this.paint(ink, boxes));
    // the names are written after the arrows: only then is it known for which there was no room
    viewer.stage.afterDraw(() => {
      if (this.on) this.say(new Set(lettering.written));
    });
  }

  get on(): boolean {
    return this.viewer.data.forces !== null && this.viewer.isShown(FORCES);
  }

  /** The forces at the shown angle; none while the mast stands on all its wires. */
  now(): Force[] {
    const { viewer } = this;
    const run = runOf(viewer.data.forces, viewer.rig.isBare);
    return run && viewer.angle !== "standing" ? forcesAt(run, viewer.rig.row(viewer.angle)) : [];
  }

  private arrows(): Arrow[] {
    const { viewer } = this;
    const scale = viewer.data.forces?.newtonsPerMetre[viewer.units] ?? 1;
    const least = viewer.data.forces?.least ?? 0;
    return this.now()
      .filter((force) => force.vector.length() >= least)
      .map((force) => {
        const { start, end } = arrowOf(force, scale);
        return { force, start, end, from: viewer.pixel(start), to: viewer.pixel(end) };
      });
  }

  private paint(ink: CanvasRenderingContext2D, boxes: Boxes): void {
    this.key.hidden = !this.on;
    if (!this.on) return;
    const arrows = this.arrows();
    const short = arrows.filter((one) => !isSeen(one));
    for (const one of short) if (one.from) this.dot(ink, one);
    // what acts between the parts lies over what acts from outside, as it is thinner
    for (const inside of [false, true]) {
      for (const one of arrows) if (one.force.inside === inside && isSeen(one)) this.arrow(ink, one, boxes);
    }
    this.short = short.map((one) => one.force);
    const { offsetLeft: x, offsetTop: y, offsetWidth: width, offsetHeight: height } = this.key;
    boxes.take({ x, y, width, height });
  }

  private look(force: Force): { color: string; width: number; casing: number } {
    const role = this.viewer.looks.role(force.inside ? "force_inside" : "force");
    const per = this.viewer.stage.perMillimetre;
    return { color: role.color, width: role.width * per, casing: role.casing * per };
  }

  private arrow(ink: CanvasRenderingContext2D, one: Arrow, boxes: Boxes): void {
    const [a, b] = [one.from as Vector2, one.to as Vector2];
    const { color, width, casing } = this.look(one.force);
    const way = b.clone().sub(a).normalize();
    const long = Math.min(HEAD[0], 0.6 * a.distanceTo(b));
    const wide = Math.max(HEAD[1] * (long / HEAD[0]), width);
    const neck = b.clone().addScaledVector(way, -long);
    ink.lineJoin = ink.lineCap = "round";
    for (const [more, colour] of [[2 * casing, "#fffdf7"], [0, color]] as const) {
      ink.strokeStyle = ink.fillStyle = colour;
      ink.lineWidth = width + more;
      ink.beginPath();
      ink.moveTo(a.x, a.y);
      ink.lineTo(neck.x, neck.y);
      ink.stroke();
      ink.lineWidth = Math.max(0.5, more);
      ink.beginPath();
      ink.moveTo(b.x, b.y);
      ink.lineTo(neck.x - way.y * wide, neck.y + way.x * wide);
      ink.lineTo(neck.x + way.y * wide, neck.y - way.x * wide);
      ink.closePath();
      ink.stroke();
      ink.fill();
    }
    keepClear(boxes, a, b);
  }

  private dot(ink: CanvasRenderingContext2D, one: Arrow): void {
    const { color } = this.look(one.force);
    const at = one.force.pushes ? one.to : one.from;
    if (!at) return;
    ink.fillStyle = color;
    ink.strokeStyle = "#fffdf7";
    ink.lineWidth = 2;
    ink.beginPath();
    ink.arc(at.x, at.y, 3.2, 0, 7);
    ink.stroke();
    ink.fill();
  }

  private *labels(): Generator<Sign> {
    if (!this.on) return;
    for (const { force, start, end } of this.arrows()) {
      const text = this.words(force);
      for (const [rank, share] of NAMED_AT.entries()) {
        const place = force.pushes ? 1 - share : share;
        yield { layer: labelOf(force, text, 9 - 0.05 * rank), at: start.clone().lerp(end, place) };
      }
    }
  }

  private words(force: Force): string {
    return `${force.name}: ${forceText(force.vector.length(), this.viewer.units)}`;
  }

  private say(written: ReadonlySet<string>): void {
    const { viewer } = this;
    const { forces } = viewer.data;
    if (!forces) return;
    const lines = viewer.angle === "standing" ? [] : saying(this.now(), forces.least, this.short, (one) => this.words(one), written);
    const run = runOf(forces, viewer.rig.isBare);
    const what = forces.runs.length > 1 ? `, ${run?.word ?? ""}` : "";
    const title = viewer.angle === "standing" ? "Forces" : `Forces at ${angleText(viewer.angle)}${what}`;
    const scale = viewer.angle === "standing" ? "Slide along the chart: the arrows are those of the raise." : `length of arrows: ${forces.scale[viewer.units]}`;
    const all = this.now().map((one) => this.words(one));
    const whole = [title, scale, ...lines, ...all].join("\n");
    if (whole === this.said) return;
    this.said = whole;
    const every = element("ul", "hm-unseen", ...all.map((words) => element("li", "", words)));
    this.key.replaceChildren(element("b", "", title), ...[scale, ...lines].map((line) => element("span", "", line)), every);
  }
}

/** What the arrows do not show, in words: nothing vanishes. */
export function saying(now: Force[], least: number, short: Force[], words: (force: Force) => string, written: ReadonlySet<string>): string[] {
  const lines: string[] = [];
  const none = now.filter((one) => one.vector.length() < least).map((one) => one.key);
  const lost = now.filter((one) => !Number.isFinite(one.vector.length())).map((one) => one.key);
  if (short.length) lines.push(`too small for an arrow: ${short.map(words).join(", ")}`);
  const mute = now.filter((one) => one.vector.length() >= least && !short.some((other) => other.key === one.key));
  const unwritten = mute.map(words).filter((text) => !written.has(text));
  if (unwritten.length) lines.push(unwritten.join(", "));
  if (none.length) lines.push(`without force: ${none.join(", ")}`);
  if (lost.length) lines.push(`not known: ${lost.join(", ")}`);
  return lines;
}

function runOf(forces: ForcesData | null, bare: boolean): ForceRun | undefined {
  return forces?.runs.find((one) => one.key === (bare ? "bare" : "loaded")) ?? forces?.runs[0];
}

function isSeen(one: Arrow): boolean {
  return one.from !== null && one.to !== null && one.from.distanceTo(one.to) >= SHORTEST;
}

function labelOf(force: Force, text: string, priority: number): LabelLayer {
  return {
    kind: "label",
    role: force.inside ? "force_inside_head" : "force_head",
    group: FORCES,
    name: force.key,
    motion: "pose",
    text,
    at: [0, 0, 0],
    priority,
    tells: "number",
    choice: `force ${force.key}`,
    over: false,
  };
}

/** No name may stand on an arrow. */
function keepClear(boxes: Boxes, a: Vector2, b: Vector2): void {
  const steps = Math.max(1, Math.ceil(a.distanceTo(b) / 10));
  for (let k = 0; k <= steps; k++) {
    const at = a.clone().lerp(b, k / steps);
    boxes.take({ x: at.x - 4, y: at.y - 4, width: 8, height: 8 });
  }
}
