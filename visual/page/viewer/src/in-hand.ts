/** The line on the back that is kept in hand where the mast goes over by itself: drawn taut. */

import { Vector3 } from "three";
import type { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import type { LabelLayer } from "./layer-data.ts";
import { fatLines } from "./layers.ts";
import { floats } from "./packed.ts";
import type { Sign } from "./signs.ts";
import { forceText } from "./units.ts";
import type { Viewer } from "./viewer.ts";

const SERIES = "hold back at the top back wire";
const ROLE = "lift_wire"; // as other lines that pull
const LEAST = 1; // N
const NAMED_AT = [0.45, 0.65, 0.25];

export class InHand {
  private readonly viewer: Viewer;
  private lines: LineSegments2[] = [];

  constructor(viewer: Viewer) {
    this.viewer = viewer;
    viewer.on("data", () => this.forget());
    viewer.stage.beforeDraw(() => this.apply());
    viewer.extras.push(() => this.labels());
  }

  /** How hard it holds at the shown angle; 0 where the mast does not go over. [N] */
  get force(): number {
    const { angle, data, rig } = this.viewer;
    if (angle === "standing") return 0;
    const all = rig.isBare ? (data.chart.bareSeries ?? data.chart.series) : data.chart.series;
    const series = all.find((one) => one.word === SERIES);
    const value = series ? (floats(series.values)[Math.round(rig.row(angle))] ?? 0) : 0;
    return Number.isFinite(value) && value >= LEAST ? value : 0;
  }

  /** From the back anchor to the top collar; null where there is no such line. */
  private ends(): [Vector3, Vector3] | null {
    const { viewer } = this;
    const anchor = viewer.data.points?.["back anchor"];
    const collars = Object.keys(viewer.data.rig.places).filter((name) => name.startsWith("collar "));
    const places = collars.map((name) => viewer.place(name)).filter((at) => at !== null);
    const top = places.sort((a, b) => b.length() - a.length())[0];
    return anchor && top && this.force > 0 && viewer.isShown("wires") ? [new Vector3(...anchor), top] : null;
  }

  private apply(): void {
    const ends = this.ends();
    if (ends && this.lines.length === 0) {
      this.lines = fatLines(this.viewer.looks, ROLE, "wires", new Float32Array(6));
      this.viewer.stage.scene.add(...this.lines);
    }
    for (const line of this.lines) line.visible = ends !== null;
    if (ends) this.lines[0]?.geometry.setPositions(ends.flatMap((at) => at.toArray()));
  }

  private forget(): void {
    for (const line of this.lines) line.removeFromParent();
    this.lines[0]?.geometry.dispose();
    this.lines = [];
  }

  private *labels(): Generator<Sign> {
    const ends = this.ends();
    if (!ends) return;
    const text = `line on the back, in hand:\n${forceText(this.force, this.viewer.units)}`;
    for (const [rank, share] of NAMED_AT.entries()) yield { layer: labelOf(text, 7 - 0.1 * rank), at: ends[0].clone().lerp(ends[1], share) };
  }
}

function labelOf(text: string, priority: number): LabelLayer {
  return { kind: "label", role: "label", group: "wires", name: "line in hand", motion: "pose", text, at: [0, 0, 0], priority, tells: "number", choice: "line in hand", over: false };
}
