/** What is said at a place of the ground that is pointed at, and a way to stand the mast there. */

import type { Vector3 } from "three";
import { button } from "./dom.ts";
import { GroundCard, type GroundWords } from "./ground-card.ts";
import type { Grid, Spot } from "./live-find-grid.ts";
import { spotText } from "./live-find-grid.ts";
import type { Viewer } from "./viewer.ts";

export class SpotCard extends GroundCard {
  /** The search that lies on the ground, and where its frame lies; null while none is shown. */
  shown: { grid: Grid; offset: readonly [number, number, number] } | null = null;
  private readonly busy: () => boolean;
  private readonly stand: (spot: Spot) => void;

  /** `busy` tells whether something else is being pointed at, which goes first. */
  constructor(viewer: Viewer, host: HTMLElement, busy: () => boolean, stand: (spot: Spot) => void) {
    super(viewer, (card) => host.append(card));
    [this.busy, this.stand] = [busy, stand];
  }

  protected override tell(ground: Vector3): GroundWords | null {
    if (!this.shown || this.busy()) return null;
    const { grid, offset } = this.shown;
    const now = this.viewer.ground.mesh.position;
    // the grid was told in a frame in which the ground lay at `offset`
    const spot = grid.spot(ground.x - now.x + offset[0], ground.y - now.y + offset[1]);
    if (!spot) return null;
    const act = spot.kind === "works" ? button("Stand it here", () => this.stand(spot)) : null;
    return { words: spotText(spot, this.viewer.units), act };
  }
}
