/** The tape: the distance between two points, in space, level and in height. */

import { Vector2, Vector3 } from "three";
import { button, element, select } from "./dom.ts";
import { type Listener, reachOf } from "./hands.ts";
import { drawMark, type Lettering } from "./lettering.ts";
import { drawText, textBox } from "./spots.ts";
import { isPlan } from "./stand.ts";
import { lengthText } from "./units.ts";
import type { Viewer } from "./viewer.ts";

const SNAP = 8; // pixels from a named point that still mean it
const LEVEL = 0.005; // metres that are no difference on a tape
const SAME = 3; // pixels within which named points lie at one place
const POLE = "gin-pole tip";
const COLOUR = "#00568a";

interface End {
  at: Vector3;
  /** Set where it is a named point, which may move with the raise. */
  name: string | null;
}

export class Tape implements Listener {
  readonly root = element("div", "hm-tape");
  ends: End[] = [];
  on = false;
  private readonly viewer: Viewer;
  private readonly result = element("output", "hm-result");
  private readonly pick: HTMLButtonElement;
  private readonly from: HTMLSelectElement;
  private readonly to: HTMLSelectElement;

  constructor(viewer: Viewer, lettering: Lettering) {
    this.viewer = viewer;
    this.pick = button("Pick two points in the scene", () => this.setOn(!this.on));
    const names = ["–", ...this.points().keys()];
    const [from, to] = ["from", "to"].map((word) => select(word, names, () => this.fromFields()));
    if (!from || !to) throw new Error("no fields");
    [this.from, this.to] = [from.field, to.field];
    this.root.append(
      this.pick,
      element("p", "hm-hint", "or between two named points:"),
      element("div", "hm-pair", from.label, to.label),
      this.result,
      button("Clear", () => this.clear()),
    );
    viewer.hands.listeners.unshift(this);
    lettering.painters.push((ink) => this.paint(ink));
    viewer.on("units", () => this.tell());
    viewer.on("angle", () => this.refill());
    viewer.on("data", () => this.refill());
    viewer.on("view", (name) => {
      if (name && this.ends.length > 0) this.clear();
    });
    this.tell();
  }

  setOn(on: boolean): void {
    this.on = on;
    this.pick.setAttribute("aria-pressed", `${on}`);
    this.viewer.stage.canvas.classList.toggle("hm-measuring", on);
    if (on && this.ends.length > 1) this.clear();
  }

  /** The panel is closed: what was measured is not left lying in the scene. */
  leave(): void {
    this.setOn(false);
    this.clear();
  }

  clear(): void {
    this.ends = [];
    this.from.value = this.to.value = "–";
    this.tell();
  }

  tap(at: Vector2, event: PointerEvent): boolean {
    if (!this.on) return false;
    const end = this.pointAt(at, reachOf(event, SNAP));
    if (!end) return true;
    this.ends = this.ends.length > 1 ? [end] : [...this.ends, end];
    if (this.ends.length === 2) this.setOn(false);
    this.tell();
    return true;
  }

  /** Distance in space, level and in height of two ends; null without two. [m] */
  measured(): { space: number; level: number; height: number } | null {
    const [a, b] = this.ends.map((end) => this.place(end));
    if (!a || !b) return null;
    const way = b.clone().sub(a);
    return { space: way.length(), level: Math.hypot(way.x, way.y), height: way.z };
  }

  private refill(): void {
    this.offer();
    this.ends = this.ends.filter((end) => end.name === null || this.points().has(end.name));
    this.tell();
  }

  /** The points that can be chosen by name now. */
  private offer(): void {
    const names = ["–", ...this.points().keys()];
    for (const field of [this.from, this.to]) {
      if (names.join("\n") === [...field.options].map((one) => one.value).join("\n")) continue;
      const chosen = field.value;
      field.replaceChildren(...names.map((name) => new Option(name, name)));
      field.value = names.includes(chosen) ? chosen : "–";
    }
  }

  private place(end: End): Vector3 {
    return (end.name ? this.points().get(end.name) : null) ?? end.at;
  }

  /** Every point that has a name. */
  private points(): Map<string, Vector3> {
    const found = new Map<string, Vector3>();
    for (const name of Object.keys(this.viewer.data.rig.places)) {
      if (name === POLE && this.viewer.angle === "standing") continue; // it is not there
      const at = this.viewer.place(name);
      if (at && Number.isFinite(at.x)) found.set(name, at);
    }
    for (const [name, at] of Object.entries(this.viewer.data.points ?? {})) found.set(name, new Vector3(...at));
    return found;
  }

  private pointAt(at: Vector2, reach: number): End | null {
    const named = this.namedAt(at, reach);
    if (named) return named;
    const { from, caster } = this.viewer.hands.ray(at);
    const face = caster.intersectObjects(this.viewer.things.solids(), false)[0];
    const ground = this.viewer.hands.groundAt(at);
    const near = [face?.point, ground].filter((one) => one !== undefined && one !== null);
    near.sort((a, b) => a.distanceTo(from) - b.distanceTo(from));
    return near[0] ? { at: near[0], name: null } : null;
  }

  /** The named point that is nearest to a pixel; of those at one place of a plan the lowest. */
  private namedAt(at: Vector2, reach: number): End | null {
    const near = [...this.points()].flatMap(([name, place]) => {
      const pixel = this.viewer.pixel(place);
      const away = pixel ? pixel.distanceTo(at) : Infinity;
      return away < reach ? [{ end: { at: place, name }, away }] : [];
    });
    const least = Math.min(...near.map((one) => one.away));
    const same = near.filter((one) => one.away < least + SAME);
    same.sort((a, b) => a.end.at.z - b.end.at.z);
    return same[0]?.end ?? null;
  }

  private fromFields(): void {
    const points = this.points();
    this.ends = [this.from.value, this.to.value].flatMap((name) => {
      const at = points.get(name);
      return at ? [{ at, name }] : [];
    });
    this.tell();
  }

  private tell(): void {
    const found = this.measured();
    const { units } = this.viewer;
    const rows: [string, string][] = found
      ? [
          ["from", this.nameOf(0)],
          ["to", this.nameOf(1)],
          ["in space", lengthText(found.space, units)],
          ["level", lengthText(found.level, units)],
          ["height", `${found.height >= 0 ? "+" : ""}${lengthText(found.height, units)}`],
        ]
      : [["", this.ends.length === 1 ? `from ${this.nameOf(0)}: now the second point` : "no points yet"]];
    const cells = rows.flatMap(([word, text]) => [element("dt", "", word), element("dd", "", text)]);
    this.result.replaceChildren(element("dl", "", ...cells));
    this.viewer.stage.ask();
  }

  private nameOf(k: number): string {
    return this.ends[k]?.name ?? "where you picked";
  }

  /** What stands on the tape: what lies on a plan is measured level. */
  private words({ space, level }: { space: number; level: number }): string[] {
    const { units, stage } = this.viewer;
    const said = lengthText(space, units);
    if (space - level < LEVEL) return [said];
    const flat = `${lengthText(level, units)} level`;
    return isPlan(stage.eye.stand) ? [flat] : [said, flat];
  }

  private paint(ink: CanvasRenderingContext2D): void {
    const pixels = this.ends.map((end) => this.viewer.pixel(this.place(end)));
    const [a, b] = pixels;
    const found = this.measured();
    if (a && b && found) {
      for (const [width, color] of [[5, "#fffdf7"], [2, COLOUR]] as const) {
        ink.strokeStyle = color;
        ink.lineWidth = width;
        ink.beginPath();
        ink.moveTo(a.x, a.y);
        ink.lineTo(b.x, b.y);
        ink.stroke();
      }
      const block = textBox(ink, this.words(found), 14);
      const middle = a.clone().add(b).multiplyScalar(0.5);
      drawText(ink, { block, middle: new Vector2(middle.x, middle.y - 12), slope: 0 }, COLOUR, true);
    }
    for (const pixel of pixels) if (pixel) drawMark(ink, "diamond", pixel, 6, COLOUR);
  }
}
