/** Pointing at things: the nearest wire, building, line or part under the pointer, with its numbers. */

import { Vector2, Vector3 } from "three";
import type { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import { button, element } from "./dom.ts";
import type { Fact } from "./data.ts";
import { floats } from "./packed.ts";
import { type Listener, reachOf } from "./hands.ts";
import { seriesWords } from "./raise-words.ts";
import { standBeside } from "./tip.ts";
import type { Viewer } from "./viewer.ts";

const REACH = 9; // pixels from a line that still mean it

export interface Pointed {
  group: string;
  name: string;
  at: Vector3;
}

export class Pointing implements Listener {
  readonly tip = element("div", "hm-tip");
  private readonly viewer: Viewer;
  private shown: Pointed | null = null;
  private pinned = false;
  private waiting = 0;
  /** Told of what was tapped. */
  picked: (found: Pointed) => void = () => {};
  /** True while something else has the pointer, such as the tape. */
  isBusy: () => boolean = () => false;

  constructor(viewer: Viewer, host: HTMLElement) {
    this.viewer = viewer;
    this.tip.setAttribute("role", "status");
    this.tip.hidden = true;
    host.append(this.tip);
    viewer.hands.listeners.push(this);
    viewer.on("angle", () => this.refresh());
    viewer.on("units", () => this.refresh());
    viewer.on("data", () => this.hide());
    viewer.on("view", () => this.hide());
    addEventListener("keydown", (event) => {
      if (event.key === "Escape" && this.pinned) this.hide();
    });
    viewer.stage.afterDraw(() => this.follow());
  }

  hover(at: Vector2 | null): void {
    if (this.pinned) return;
    if (this.isBusy()) return this.hide();
    cancelAnimationFrame(this.waiting);
    if (!at) return this.hide();
    this.waiting = requestAnimationFrame(() => this.set(this.under(at)));
  }

  tap(at: Vector2, event: PointerEvent): boolean {
    const found = this.under(at, reachOf(event, REACH));
    this.pinned = found !== null;
    this.set(found);
    if (found) this.picked(found);
    return found !== null;
  }

  /** What is under a pixel: a line near it, or else the nearest face. */
  under(at: Vector2, reach = REACH): Pointed | null {
    const { from, caster } = this.viewer.hands.ray(at);
    const meshes = this.viewer.things.solids(true);
    const face = caster.intersectObjects(meshes, false).find((hit) => this.known(hit.object));
    const line = this.nearestLine(at, reach);
    const ground = this.viewer.hands.groundAt(at);
    const far = ground ? ground.distanceTo(from) + 0.5 : Infinity;
    if (line && line.at.distanceTo(from) < far + 4) {
      if (!face || face.distance > line.at.distanceTo(from) - 1.5) return line;
    }
    if (!face || face.distance > far) return null;
    const { group, name } = face.object.userData as Pointed;
    return { group, name, at: face.point };
  }

  private known(thing: { userData: Record<string, unknown> }): boolean {
    const { group, name } = thing.userData as unknown as Pointed;
    return this.viewer.fact(group, name) !== null;
  }

  private nearestLine(at: Vector2, reach: number): Pointed | null {
    let best: Pointed | null = null;
    let least = reach;
    for (const line of this.viewer.things.lines()) {
      if (!this.known(line)) continue;
      const found = this.along(line, at);
      if (found && found.away < least) {
        least = found.away;
        const { group, name } = line.userData as Pointed;
        best = { group, name, at: found.at };
      }
    }
    return best;
  }

  private along(line: LineSegments2, at: Vector2): { away: number; at: Vector3 } | null {
    const start = line.geometry.getAttribute("instanceStart");
    const end = line.geometry.getAttribute("instanceEnd");
    let best: { away: number; at: Vector3 } | null = null;
    for (let k = 0; k < start.count; k++) {
      const a = new Vector3().fromBufferAttribute(start, k).applyMatrix4(line.matrixWorld);
      const b = new Vector3().fromBufferAttribute(end, k).applyMatrix4(line.matrixWorld);
      const [p, q] = [this.viewer.pixel(a), this.viewer.pixel(b)];
      if (!p || !q) continue;
      const way = q.clone().sub(p);
      const share = Math.min(1, Math.max(0, at.clone().sub(p).dot(way) / Math.max(1e-6, way.lengthSq())));
      const away = p.addScaledVector(way, share).distanceTo(at);
      if (!best || away < best.away) best = { away, at: a.lerp(b, share) };
    }
    return best;
  }

  private set(found: Pointed | null): void {
    if (found?.name === this.shown?.name && found?.group === this.shown?.group && found && !this.pinned) {
      this.shown = found;
      this.follow();
      return;
    }
    this.shown = found;
    this.refresh();
  }

  /** What closes a card that stays. */
  private away(): HTMLButtonElement {
    const made = button("×", () => this.hide(), "hm-tip-close");
    made.setAttribute("aria-label", "Close");
    return made;
  }

  /** Take the card away. */
  hide(): void {
    this.pinned = false;
    this.set(null);
  }

  private refresh(): void {
    const fact = this.shown ? this.viewer.fact(this.shown.group, this.shown.name) : null;
    this.tip.hidden = !fact;
    this.viewer.stage.canvas.classList.toggle("hm-over", fact !== null);
    if (!fact) return;
    this.tip.replaceChildren(element("b", "", fact.title), factTable(fact, this.viewer));
    this.tip.classList.toggle("hm-pinned", this.pinned);
    if (this.pinned) this.tip.prepend(this.away());
    this.follow();
  }

  private follow(): void {
    if (!this.shown || this.tip.hidden) return;
    const pixel = this.viewer.pixel(this.shown.at);
    if (pixel) standBeside(this.tip, pixel, this.viewer.stage);
  }
}

/** The numbers of a thing, those of the shown angle among them. */
export function factTable(fact: Fact, viewer: Viewer): HTMLElement {
  const rows = fact.rows.map((one) => [one.word, one.text[viewer.units]] as const);
  const { angle, rig, units } = viewer;
  // the raise with the head does not begin as low as that of the bare mast
  const now = angle === "standing" ? [] : (fact.series ?? []).filter((one) => angle >= (one.from ?? -90) - 1e-6);
  const more = now.map((one) => {
    const value = floats(one.values)[Math.round(rig.row(angle as number))] ?? NaN;
    const [word, text] = seriesWords(one.word, value, one.unit, units);
    return [one.run ? `${word} now, ${one.run}` : `${word} now`, text] as const;
  });
  const list = element("dl");
  for (const [word, text] of [...rows, ...more]) list.append(element("dt", "", word), element("dd", "", text));
  return list;
}

