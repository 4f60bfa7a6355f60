/** How far things are from the mast: a thin line to what is near, and both in the picture. */

import { Vector2, Vector3 } from "three";
import type { BothUnits, Finding, Nearby, Triple } from "./data.ts";
import { calm } from "./dom.ts";
import type { LabelLayer } from "./layer-data.ts";
import type { Lettering } from "./lettering.ts";
import type { Sign } from "./signs.ts";
import { standAround } from "./sighting.ts";
import { type Boxes, drawText, placeAnywhere, textBox } from "./spots.ts";
import { coveredShare } from "./stand.ts";
import type { Viewer } from "./viewer.ts";

const DISTANCES = "distances";
/** What lines are drawn to unasked. */
const MAIN = new Set(["building", "overhead_line", "boundary", "road"]);
const NAMED_AT = [0.6, 0.72, 0.5, 0.82, 0.4, 0.9, 0.3];
const NAMED_ITSELF = new Set(["buildings", "lines"]);
/** What has no name of its own in the scene gets its distance along the line. */
const WEIGHT: Record<string, number> = { boundary: 4.4, road: 3.4 };
const CHOSEN_AT = [0.5, 0.4, 0.6, 0.3, 0.7];
const INK = "#00568a";
const HALO = "#fffdf7";

/** One line that is drawn: its ends, and what it says at its middle. */
interface Line {
  weight: number;
  ends: [Triple, Triple];
  text: BothUnits;
  chosen: boolean;
}

export class Apart {
  private readonly viewer: Viewer;
  private chosen: Line | null = null;

  constructor(viewer: Viewer, lettering: Lettering) {
    this.viewer = viewer;
    lettering.painters.push((ink, boxes) => {
      for (const line of this.lines()) this.paint(ink, line, boxes);
    });
    viewer.extras.push(() => this.labels());
    viewer.naming.rename = (layer) => this.renamed(layer);
    viewer.on("data", () => (this.chosen = null));
    viewer.on("view", (name) => {
      if (name) this.clear();
    });
  }

  /** What is near by under a key such as "buildings/barn". */
  known(key: string): Nearby | null {
    const { nearby } = this.viewer.data;
    return nearby?.find((one) => one.key === key || one.key === key.replace(/^clearance\//, "lines/")) ?? null;
  }

  /** Take the line away. */
  clear(): void {
    this.chosen = null;
    this.viewer.stage.ask();
  }

  /** Draw the line to a thing near by, and bring it and the mast into the picture. */
  show(key: string, seconds = 1): boolean {
    const near = this.known(key);
    if (!near) return false;
    this.choose({ weight: 0, ends: near.ends, text: near.said, chosen: true });
    this.frame([...near.fits, ...this.site()], near.ends, seconds);
    return true;
  }

  /** The same for a finding that is about a distance; false if it is not. */
  showFinding(finding: Finding, seconds: number): boolean {
    const near = this.known(finding.apart?.key ?? "") ?? this.nearOf(finding);
    const ends = finding.apart?.ends ?? finding.gap ?? near?.ends;
    if (!ends || (!near && !finding.gap && !finding.apart)) return false;
    // what a finding says of a distance, or of a fall, it says of the mast as it is left
    if (finding.angle === null && !finding.gap) this.viewer.setAngle("standing");
    if (finding.apart) this.choose({ weight: 0, ends, text: finding.apart.length, chosen: true });
    else if (near && !finding.gap) this.choose({ weight: 0, ends: near.ends, text: near.said, chosen: true });
    else this.clear();
    this.frame([...(near?.fits ?? []), ...(finding.gap ? [] : this.site())], ends, seconds);
    return true;
  }

  /** What a finding about a fall is held against. */
  private nearOf(finding: Finding): Nearby | null {
    const name = finding.subject.replace(/^falling mast to /, "");
    if (finding.check !== "fall zone" && name === finding.subject) return null;
    return this.viewer.data.nearby?.find((one) => one.name === name) ?? null;
  }

  private choose(line: Line): void {
    this.chosen = line;
    this.viewer.stage.ask();
  }

  private frame(fits: Triple[], ends: [Triple, Triple], seconds: number): void {
    const { viewer } = this;
    const mast = this.mast();
    viewer.stage.eye.apply(viewer.stage.width / viewer.stage.height); // no picture may have been drawn since it moved
    const points = [...mast.map((at) => at.toArray() as Triple), ...fits, ...ends];
    if (points.every((one) => this.isSeen(one))) return;
    const covered = coveredShare(viewer.covered(), viewer.stage.height);
    viewer.leaveView();
    const stand = standAround(viewer, points, [...mast, new Vector3(...ends[1])], covered);
    viewer.stage.eye.fly(stand, calm() ? 0 : seconds);
  }

  /** What the overview shows: the circle and the mast, laid and upright. */
  private site(): Triple[] {
    return this.viewer.data.views.find((one) => one.name === "overview")?.fits ?? [];
  }

  /** Foot, middle and top of the mast where it is now. */
  private mast(): Vector3[] {
    const top = this.viewer.place("mast top") ?? new Vector3(0, 0, 10);
    return [0, 0.5, 1.12].map((share) => top.clone().multiplyScalar(share));
  }

  private isSeen(place: Triple): boolean {
    const { width, height } = this.viewer.stage;
    if (this.viewer.view?.eyeLevel || this.viewer.view?.clip) return false;
    const pixel = this.viewer.pixel(new Vector3(...place));
    return pixel !== null && pixel.x > 8 && pixel.y > 30 && pixel.x < width - 8 && pixel.y < height - 8;
  }

  /** The lines to everything near are drawn. */
  private get isOn(): boolean {
    const { view } = this.viewer;
    return this.viewer.isShown(DISTANCES) && !view?.clip && !view?.eyeLevel;
  }

  private lines(): Line[] {
    const { viewer } = this;
    const chosen = this.chosen ? [this.chosen] : [];
    if (!this.isOn) return chosen;
    const all = (viewer.data.nearby ?? []).filter((one) => MAIN.has(one.kind) && viewer.isShown(one.key.split("/")[0] ?? ""));
    return [...all.map((one) => ({ weight: WEIGHT[one.kind] ?? 0, ends: one.ends, text: one.text, chosen: false })), ...chosen];
  }

  private paint(ink: CanvasRenderingContext2D, line: Line, boxes: Boxes): void {
    const [a, b] = line.ends.map((end) => this.viewer.pixel(new Vector3(...end)));
    if (!a || !b || a.distanceTo(b) < 6) return;
    for (const [width, color] of [[line.chosen ? 5 : 3, HALO], [line.chosen ? 2 : 1, INK]] as const) {
      ink.strokeStyle = color;
      ink.lineWidth = width;
      ink.setLineDash(line.chosen ? [] : [6, 4]);
      ink.beginPath();
      ink.moveTo(a.x, a.y);
      ink.lineTo(b.x, b.y);
      ink.stroke();
    }
    ink.setLineDash([]);
    if (line.chosen) this.letter(ink, line, [a, b], boxes);
  }

  /** The distance stands on the line itself: it is what was asked for. */
  private letter(ink: CanvasRenderingContext2D, line: Line, [a, b]: [Vector2, Vector2], boxes: Boxes): void {
    const block = textBox(ink, line.text[this.viewer.units].split("\n"), 13, true);
    for (const share of CHOSEN_AT) {
      const spot = boxes.centred(block, a.clone().lerp(b, share));
      if (spot) return drawText(ink, spot, INK, true);
    }
    const spot = placeAnywhere(boxes, block, a.clone().lerp(b, 0.5));
    if (spot) drawText(ink, spot, INK, true);
  }

  /** What has a name of its own in the scene says its distance there. */
  private renamed(layer: LabelLayer): LabelLayer {
    if (!NAMED_ITSELF.has(layer.group) || !this.isOn) return layer;
    const near = this.known(`${layer.group}/${layer.name}`);
    if (!near || !MAIN.has(near.kind)) return layer;
    const [text, other] = [near.text[this.viewer.units], near.text[this.viewer.units]];
    return { ...layer, text, other };
  }

  private *labels(): Generator<Sign> {
    for (const line of this.lines()) {
      if (line.chosen || line.weight === 0) continue;
      const [a, b] = line.ends.map((end) => new Vector3(...end)) as [Vector3, Vector3];
      const text = line.text[this.viewer.units];
      const along = b.clone().sub(a).multiplyScalar(0.1).toArray() as Triple;
      for (const [rank, share] of NAMED_AT.entries()) {
        yield { layer: labelOf(text, line.weight - 0.01 * rank, along), at: a.clone().lerp(b, share) };
      }
    }
  }
}

function labelOf(text: string, priority: number, along: Triple): LabelLayer {
  return { kind: "label", role: "label", group: DISTANCES, name: text, motion: "pose", text, at: [0, 0, 0], priority, tells: "number", choice: `apart ${text}`, over: true, along };
}
