/** The ring of bearings on the ground: what one of them does is said there, and the front turned. */

import { type Vector2, Vector3 } from "three";
import { button, element } from "./dom.ts";
import type { Listener } from "./hands.ts";
import type { FoundMarks, RingOnGround } from "./live-find-marks.ts";
import { bearingSaid, nearest } from "./live-find-rose.ts";
import { standBeside } from "./tip.ts";
import type { Viewer } from "./viewer.ts";

/** The bearing whose part of a ring lies at a place, seen from the base; null beside the ring. [degrees] */
export function bearingOnRing({ rose, inner, outer }: RingOnGround, x: number, y: number): number | null {
  const far = Math.hypot(x, y);
  return far < inner || far > outer ? null : nearest((Math.atan2(x, y) * 180) / Math.PI, rose.turn);
}

export class RingCard implements Listener {
  readonly root = element("div", "hm-tip hm-find-card");
  private readonly viewer: Viewer;
  private readonly marks: FoundMarks;
  private readonly turn: (bearing: number) => void;
  private at: Vector3 | null = null;
  private pinned = false;
  private pointing = false;

  /** `turn` is told to which bearing the front is to be turned. [degrees] */
  constructor(viewer: Viewer, marks: FoundMarks, turn: (bearing: number) => void) {
    [this.viewer, this.marks, this.turn] = [viewer, marks, turn];
    this.root.hidden = true;
    this.root.setAttribute("role", "status");
    marks.root.after(this.root);
    viewer.hands.listeners.push(this);
    viewer.stage.afterDraw(() => this.follow());
    viewer.on("data", () => this.hide());
  }

  hover(at: Vector2 | null): void {
    if (!this.pinned) this.set(at, false);
  }

  tap(at: Vector2): boolean {
    this.hide();
    this.set(at, true);
    return this.pinned;
  }

  hide(): void {
    if (this.pointing) this.marks.pointBearing(null);
    this.root.hidden = true;
    [this.at, this.pinned, this.pointing] = [null, false, false];
  }

  private set(at: Vector2 | null, pinned: boolean): void {
    const { ring } = this.marks;
    const ground = at && ring ? this.viewer.hands.groundAt(at) : null;
    const bearing = ground && ring && bearingOnRing(ring, ground.x, ground.y);
    if (!ring || bearing === null) return this.hide();
    [this.at, this.pinned, this.pointing] = [ground, pinned, true];
    this.marks.pointBearing(bearing);
    const act = button("Turn it there", () => {
      this.hide();
      this.turn(bearing);
    });
    this.root.replaceChildren(element("p", "", `${bearingSaid(ring.rose, bearing)}.`), ...(pinned ? [act] : []));
    this.root.hidden = false;
    this.follow();
  }

  private follow(): void {
    if (!this.marks.ring && !this.root.hidden) return this.hide();
    const pixel = this.at && !this.root.hidden ? this.viewer.pixel(this.at) : null;
    if (pixel) standBeside(this.root, pixel, this.viewer.stage);
  }
}
