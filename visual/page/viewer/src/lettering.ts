/** Lettering and signs over the drawing: names without collisions, marks, scale bar, north. */

import { Raycaster, Vector2, Vector3 } from "three";
import type { LabelLayer, MarkShape } from "./layer-data.ts";
import { drawNorth, drawScale } from "./furniture.ts";
import { Boxes, drawText, placeAnywhere, placeBeside, type Spot, textBox } from "./spots.ts";
import { strokesOf } from "./strokes.ts";
import type { Viewer } from "./viewer.ts";

/** Something else that is drawn over the scene, after the marks and before the names. */
export type Painter = (ink: CanvasRenderingContext2D, boxes: Boxes) => void;

const SIGNS = 90; // pixels at the right that are left to the north sign
const MOST = 46;
const ROOM = 20_000; // pixels of the picture for each name: a phone shows fewer
const FIRST = 20; // names of this priority must be there
const CLEAR = 7; // pixels about the mast that no name covers
const MATTERS = 2.5; // names of less weight never stand on mast or wires
const SMALL = 52; // pixels from base to anchor: with fewer the rig is a small thing on the drawing

interface Wanted {
  layer: LabelLayer;
  at: Vector3;
  pixel: Vector2;
}

export class Lettering {
  readonly painters: Painter[] = [];
  readonly canvas = document.createElement("canvas");
  /** Names of things on the drawing are written. */
  named = true;
  /** The names that stand on the drawing now, for tests to read. */
  readonly written: string[] = [];
  private readonly viewer: Viewer;
  private readonly ink: CanvasRenderingContext2D;
  private readonly seen = new Map<string, { hidden: boolean; key: string }>();

  constructor(viewer: Viewer, host: HTMLElement) {
    this.viewer = viewer;
    this.canvas.className = "hm-letters";
    this.canvas.setAttribute("aria-hidden", "true");
    host.append(this.canvas);
    const ink = this.canvas.getContext("2d");
    if (!ink) throw new Error("this browser draws no lettering");
    this.ink = ink;
    viewer.stage.afterDraw(() => this.draw());
    viewer.on("data", () => this.seen.clear());
  }

  draw(): void {
    const { width, height } = this.viewer.stage;
    const ratio = Math.min(2, window.devicePixelRatio || 1);
    if (this.canvas.width !== Math.round(width * ratio) || this.canvas.height !== Math.round(height * ratio)) {
      this.canvas.width = Math.round(width * ratio);
      this.canvas.height = Math.round(height * ratio);
    }
    this.ink.setTransform(ratio, 0, 0, ratio, 0, 0);
    this.ink.clearRect(0, 0, width, height);
    const boxes = new Boxes(width, height);
    boxes.take({ x: 0, y: 0, width: Math.min(width, 520), height: 26 });
    const { top, bottom } = this.viewer.covered();
    boxes.take({ x: 0, y: 0, width, height: top });
    boxes.take({ x: 0, y: height - bottom, width: width - SIGNS, height: bottom });
    drawNorth(this.ink, this.viewer, boxes);
    drawScale(this.ink, this.viewer, boxes);
    this.clearMast(boxes);
    this.marks(boxes);
    for (const paint of this.painters) paint(this.ink, boxes);
    this.written.length = 0;
    if (this.named) this.names(boxes);
  }

  private marks(boxes: Boxes): void {
    // from a window squares on the ground far away would look like things that stand there
    const isFar = this.viewer.view?.eyeLevel === true && this.isRigSmall();
    for (const { layer, at } of this.viewer.signs()) {
      if (layer.kind !== "mark" || (isFar && layer.group === "wires")) continue;
      const pixel = this.viewer.pixel(at);
      if (!pixel || this.behind(at)) continue;
      const role = this.viewer.data.roles[layer.role];
      const size = Math.max(4.5, ((role?.width ?? 2.6) * this.viewer.stage.perMillimetre) / 2.2);
      drawMark(this.ink, layer.shape, pixel, size, role?.color ?? "#222");
      boxes.take({ x: pixel.x - size, y: pixel.y - size, width: 2 * size, height: 2 * size });
    }
  }

  /** Names stand beside mast and gin pole, not on them. */
  private clearMast(boxes: Boxes): void {
    const { viewer } = this;
    const foot = viewer.pixel(new Vector3());
    const ends = ["mast top", ...(viewer.angle === "standing" ? [] : ["gin-pole tip"])];
    for (const end of ends.map((name) => viewer.place(name))) {
      const pixel = end && viewer.pixel(end);
      if (foot && pixel) boxes.takeLine(foot, pixel, CLEAR);
    }
  }

  private names(boxes: Boxes): void {
    const { width, height } = this.viewer.stage;
    const most = Math.min(MOST, Math.max(8, Math.round((width * height) / ROOM)));
    boxes.strokes = strokesOf(this.viewer);
    let count = 0;
    for (const some of alternatives(this.wanted())) {
      if (count >= most) break;
      const found = this.placed(some, boxes);
      if (!found) continue;
      const { layer, spot } = found;
      drawText(this.ink, spot, this.colour(layer), layer.tells === "warning");
      this.written.push(spot.block.lines.join("\n"));
      count++;
    }
  }

  /**
   * Find room for one of a few names for the same: clear of mast and wires, or else over them if
   * the name matters.
   */
  private placed(some: Wanted[], boxes: Boxes): { layer: LabelLayer; spot: Spot } | null {
    const hidden = new Map<LabelLayer, boolean>();
    const isHidden = ({ layer, at }: Wanted): boolean => {
      const known = hidden.get(layer) ?? this.isHidden(layer, at);
      hidden.set(layer, known);
      return known;
    };
    for (const strict of [true, false]) {
      boxes.strict = strict;
      for (const one of some) {
        const { layer, at, pixel } = one;
        if ((!strict && layer.priority < MATTERS) || isHidden(one)) continue;
        const spot = this.spot(layer, at, pixel, boxes);
        if (spot) return { layer, spot };
      }
    }
    return null;
  }

  private *wanted(): Generator<Wanted> {
    const { width, height } = this.viewer.stage;
    const isSmall = this.isRigSmall();
    for (const { layer, at } of this.viewer.signs()) {
      if (layer.kind !== "label" || (isSmall && layer.group === "wires")) continue;
      const pixel = this.viewer.pixel(at);
      if (!pixel) continue;
      if (pixel.x < 2 || pixel.y < 2 || pixel.x > width - 2 || pixel.y > height - 2) continue;
      yield { layer, at, pixel };
    }
  }

  /** From afar the names of anchors would lie in a heap over the mast: they are left out. */
  private isRigSmall(): boolean {
    const { viewer } = this;
    const base = viewer.pixel(new Vector3());
    const anchors = Object.entries(viewer.data.points ?? {}).filter(([name]) => name.endsWith(" anchor"));
    const pixels = anchors.map(([, at]) => viewer.pixel(new Vector3(...at)));
    return base !== null && pixels.length > 0 && pixels.every((one) => one !== null && one.distanceTo(base) < SMALL);
  }

  private spot(layer: LabelLayer, at: Vector3, pixel: Vector2, boxes: Boxes): Spot | null {
    const { viewer } = this;
    const text = layer.other && viewer.units !== viewer.data.site.units ? layer.other : layer.text;
    const small = layer.tells === "height";
    const lines = text.split("\n");
    const box = textBox(this.ink, lines, small ? 10.5 : 12.5, layer.tells === "warning");
    if (layer.along) {
      const next = viewer.pixel(at.clone().add(new Vector3(...layer.along)));
      if (!next || next.distanceTo(pixel) < 1) return null;
      return boxes.along(box, pixel, next);
    }
    if (layer.over) return boxes.centred(box, pixel);
    return layer.priority >= FIRST ? placeAnywhere(boxes, box, pixel) : placeBeside(boxes, box, pixel);
  }

  private colour(layer: LabelLayer): string {
    if (layer.tells === "warning") return "#8f3d00";
    if (layer.role === "label") return "#22201e";
    return this.viewer.data.roles[layer.role]?.color ?? "#22201e";
  }

  /** Whether the ground hides a label; asked anew only when the eye has moved. */
  private isHidden(layer: LabelLayer, at: Vector3): boolean {
    if (layer.motion !== "fixed") return false;
    const { stand } = this.viewer.stage.eye;
    const key = [stand.bearing, stand.height, stand.distance, ...stand.target.toArray()]
      .map((value) => value.toFixed(2))
      .join();
    const which = `${layer.group} ${layer.name} ${layer.at.join()}`;
    const known = this.seen.get(which);
    if (known?.key === key) return known.hidden;
    const hidden = this.behind(at);
    this.seen.set(which, { hidden, key });
    return hidden;
  }

  private behind(at: Vector3): boolean {
    const { eye } = this.viewer.stage;
    if (eye.stand.flat) return false;
    const { ground } = this.viewer;
    const offset = ground.mesh.position;
    const lifted = at.clone().sub(offset);
    lifted.z += 0.5;
    if (ground.hides(eye.position.sub(offset), lifted)) return true;
    const from = eye.position;
    const away = from.distanceTo(at);
    const way = at.clone().sub(from).divideScalar(away);
    const caster = new Raycaster(from, way, 0.1, Math.max(0.2, away - 2));
    return caster.intersectObjects(this.viewer.things.buildings(), false).length > 0;
  }
}

/** Names for the same together, what matters most first. */
function alternatives(wanted: Iterable<Wanted>): Wanted[][] {
  const groups = new Map<string, Wanted[]>();
  const sorted = [...wanted].sort((a, b) => b.layer.priority - a.layer.priority);
  sorted.forEach((one, k) => {
    const key = one.layer.choice || `only ${k}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  });
  return [...groups.values()];
}

/** Draw the sign of a place, with a pale edge. */
export function drawMark(
  ink: CanvasRenderingContext2D,
  shape: MarkShape,
  at: Vector2,
  size: number,
  color: string,
): void {
  const path = new Path2D();
  const { x, y } = at;
  const s = size;
  if (shape === "dot" || shape === "ring") path.arc(x, y, s * 0.85, 0, 7);
  if (shape === "square") path.rect(x - 0.8 * s, y - 0.8 * s, 1.6 * s, 1.6 * s);
  const corners: Partial<Record<MarkShape, [number, number][]>> = {
    triangle: [[0, -1.15], [1, 0.75], [-1, 0.75]],
    diamond: [[0, -1.1], [1.1, 0], [0, 1.1], [-1.1, 0]],
    cross: [[-1, -1], [1, 1], [0, 0], [-1, 1], [1, -1], [0, 0]],
  };
  const points = corners[shape];
  if (points) {
    points.forEach(([a, b], k) => (k ? path.lineTo(x + a * s, y + b * s) : path.moveTo(x + a * s, y + b * s)));
    path.closePath();
  }
  ink.lineJoin = "round";
  ink.strokeStyle = "#fffdf7";
  ink.lineWidth = 3;
  ink.stroke(path);
  if (shape === "ring" || shape === "cross") {
    ink.fillStyle = "#fffdf7";
    if (shape === "ring") ink.fill(path);
    ink.strokeStyle = color;
    ink.lineWidth = 2;
    ink.stroke(path);
  } else {
    ink.fillStyle = color;
    ink.fill(path);
  }
}
