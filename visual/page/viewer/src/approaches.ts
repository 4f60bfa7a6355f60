/** Closest approaches: the shortest lines between what moves and what stands around. */

import { Group, Vector3 } from "three";
import type { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import type { Approach, Finding, Triple, Units } from "./data.ts";
import type { LabelLayer, MarkLayer } from "./layer-data.ts";
import { fatLines } from "./layers.ts";
import type { Lettering } from "./lettering.ts";
import type { Sign } from "./signs.ts";
import type { Viewer } from "./viewer.ts";

export const APPROACH = "approach";

/** A line is shown this near to its own angle: the slider goes in half degrees. */
const NEAR = 0.26;

const NARROW = 560; // pixels: in a narrower picture only the nearest of all is told in full
const CLEAR = 7; // pixels about a line that no name covers

interface Moment {
  angle: number | "standing";
  /** True if the head is off. */
  bare: boolean;
  /** True if the layer is switched on. */
  on: boolean;
  /** True in the view of the closest of all. */
  worst: boolean;
  marked: Finding | null;
}

/** Whether an approach is shown at a moment. */
export function isThere(one: Approach, now: Moment): boolean {
  if (now.marked && isOf(one, now.marked)) return true;
  if (now.worst && one.worst) return true;
  if (!now.on || one.far || now.angle === "standing") return false;
  if (!one.raises.includes(now.bare ? "bare" : "loaded")) return false;
  return Math.abs(now.angle - one.angle) <= NEAR;
}

/** Whether an approach is what a finding is about: names may be shared, places are not. */
export function isOf(one: Approach, finding: Finding): boolean {
  const { gap } = finding;
  return gap !== null && one.subject === finding.subject && same(gap[0], one.ends[0]) && same(gap[1], one.ends[1]);
}

function same(a: Triple, b: Triple): boolean {
  return a.every((value, k) => Math.abs(value - (b[k] as number)) < 1e-6);
}

interface Drawn {
  approach: Approach;
  lines: LineSegments2[];
  marks: MarkLayer;
  labels: Record<Units, LabelLayer[]>;
}

export class Approaches {
  private readonly viewer: Viewer;
  private readonly marked: () => Finding | null;
  private readonly root = new Group();
  private all: Drawn[] = [];

  constructor(viewer: Viewer, lettering: Lettering, marked: () => Finding | null) {
    this.viewer = viewer;
    this.marked = marked;
    viewer.stage.scene.add(this.root);
    viewer.on("data", () => this.build());
    viewer.stage.beforeDraw(() => this.apply());
    viewer.extras.push(() => this.signs());
    lettering.painters.push((ink, boxes) => {
      for (const one of this.there()) {
        this.paintReach(ink, one.approach);
        const [a, b] = one.approach.ends.map((end) => viewer.pixel(new Vector3(...end)));
        if (a && b) boxes.takeLine(a, b, CLEAR);
      }
      this.paintMarked(ink);
    });
    this.build();
  }

  /** What is shown now. */
  get shown(): Approach[] {
    return this.there().map((one) => one.approach);
  }

  private there(): Drawn[] {
    const { viewer } = this;
    const now: Moment = {
      angle: viewer.angle,
      bare: viewer.rig.isBare,
      on: viewer.isShown(APPROACH),
      worst: viewer.view?.name === "closest",
      marked: this.marked(),
    };
    return this.all.filter((one) => isThere(one.approach, now));
  }

  private build(): void {
    for (const one of this.all) one.lines[0]?.geometry.dispose();
    this.root.clear();
    const { looks } = this.viewer;
    this.all = this.viewer.data.approaches.map((approach) => {
      const lines = fatLines(looks, approach.role, APPROACH, Float32Array.from(approach.ends.flat()));
      for (const line of lines) line.renderOrder += 12; // over wires
      this.root.add(...lines);
      return { approach, lines, marks: marksOf(approach), labels: labelsOf(approach) };
    });
  }

  private apply(): void {
    const there = new Set(this.there());
    for (const one of this.all) for (const line of one.lines) line.visible = there.has(one);
  }

  private *signs(): Generator<Sign> {
    const marked = this.marked();
    for (const one of this.there()) {
      const [a, b] = one.approach.ends.map((end) => new Vector3(...end)) as [Vector3, Vector3];
      yield { layer: one.marks, at: a };
      yield { layer: one.marks, at: b };
      // the finding that is marked says the same beside its own sign
      if (marked && isOf(one.approach, marked)) continue;
      const middle = a.clone().lerp(b, 0.5);
      const labels = one.labels[this.viewer.units];
      const brief = this.viewer.stage.width < NARROW && !one.approach.worst;
      for (const layer of brief ? labels.slice(1) : labels) yield { layer, at: middle };
    }
  }

  /** How far a rotor reaches that is free to turn: its line begins there, not at the blades. */
  private paintReach(ink: CanvasRenderingContext2D, one: Approach): void {
    if (!one.reach) return;
    const { stage, looks } = this.viewer;
    const centre = new Vector3(...one.reach.centre);
    const across = new Vector3().setFromMatrixColumn(stage.eye.camera.matrixWorld, 0);
    const [a, b] = [centre, centre.clone().addScaledVector(across, one.reach.radius)].map((at) => this.viewer.pixel(at));
    if (!a || !b) return;
    const role = looks.role("rotor_reach");
    ink.strokeStyle = role.color;
    ink.lineWidth = Math.max(1, role.width * stage.perMillimetre);
    ink.setLineDash(role.dash.map((length) => length * stage.perMillimetre));
    ink.beginPath();
    ink.arc(a.x, a.y, a.distanceTo(b), 0, 7);
    ink.stroke();
    ink.setLineDash([]);
  }

  /** The line of the marked finding lies over everything: it is what was asked for. */
  private paintMarked(ink: CanvasRenderingContext2D): void {
    const marked = this.marked();
    const one = marked && this.viewer.data.approaches.find((approach) => isOf(approach, marked));
    const [a, b] = (one?.ends ?? []).map((end) => this.viewer.pixel(new Vector3(...end)));
    if (!one || !a || !b) return;
    const { color, width, casing } = this.viewer.looks.role(one.role);
    const per = this.viewer.stage.perMillimetre;
    for (const [broad, colour] of [[width + 2 * casing, "#fffdf7"], [width, color]] as const) {
      ink.strokeStyle = colour;
      ink.lineWidth = broad * per;
      ink.lineCap = "round";
      ink.beginPath();
      ink.moveTo(a.x, a.y);
      ink.lineTo(b.x, b.y);
      ink.stroke();
    }
  }
}

function marksOf(one: Approach): MarkLayer {
  const at = { as: "f4" as const, shape: [0, 3], data: "" };
  const shape = one.role === "worst" ? "triangle" : "dot";
  return { kind: "mark", role: `${one.role}_mark`, group: APPROACH, name: one.subject, motion: "fixed", at, shape };
}

/** The length with its verdict, as in "TOO NEAR: 1.27 m". */
function briefly(one: Approach, units: Units): string {
  const [verdict] = one.text[units].split(":");
  return verdict && verdict !== one.text[units] ? `${verdict}: ${one.length[units]}` : one.length[units];
}

/** The full words, and the length alone where there is no room for them. */
function labelsOf(one: Approach): Record<Units, LabelLayer[]> {
  const label = (text: string, priority: number): LabelLayer => ({
    kind: "label",
    role: one.role === "worst" ? "warning" : "label",
    group: APPROACH,
    name: one.subject,
    motion: "fixed",
    text,
    at: one.ends[0],
    priority,
    tells: one.role === "worst" ? "warning" : "name",
    choice: `approach ${one.subject} ${one.ends[1].join()}`,
    over: false,
  });
  const both = (units: Units): LabelLayer[] => [label(one.text[units], 20), label(briefly(one, units), 19.9)];
  return { metric: both("metric"), imperial: both("imperial") };
}
