/** The ring of bearings on the ground: what one of them does is said there, and the front turned. */

import type { Vector3 } from "three";
import { button } from "./dom.ts";
import { GroundCard, type GroundWords } from "./ground-card.ts";
import type { FoundMarks, RingOnGround } from "./live-find-marks.ts";
import { bearingSaid, nearest } from "./live-find-rose.ts";
import type { Viewer } from "./viewer.ts";

/** The bearing whose part of a ring lies at a place, seen from the base; null beside the ring. [degrees] */
export function bearingOnRing({ rose, inner, outer }: RingOnGround, x: number, y: number): number | null {
  const far = Math.hypot(x, y);
  return far < inner || far > outer ? null : nearest((Math.atan2(x, y) * 180) / Math.PI, rose.turn);
}

export class RingCard extends GroundCard {
  private readonly marks: FoundMarks;
  private readonly turn: (bearing: number) => void;
  private pointing = false;

  /** `turn` is told to which bearing the front is to be turned. [degrees] */
  constructor(viewer: Viewer, marks: FoundMarks, turn: (bearing: number) => void) {
    super(viewer, (card) => marks.root.after(card));
    [this.marks, this.turn] = [marks, turn];
    viewer.stage.afterDraw(() => {
      if (!marks.ring && !this.root.hidden) this.hide();
    });
  }

  override hide(): void {
    if (this.pointing) this.marks.pointBearing(null);
    this.pointing = false;
    super.hide();
  }

  protected override tell(ground: Vector3): GroundWords | null {
    const { ring } = this.marks;
    const bearing = ring && bearingOnRing(ring, ground.x, ground.y);
    if (!ring || bearing === null) return null;
    this.pointing = true;
    this.marks.pointBearing(bearing);
    const act = button("Turn it there", () => {
      this.hide();
      this.turn(bearing);
    });
    return { words: `${bearingSaid(ring.rose, bearing)}.`, act };
  }
}
