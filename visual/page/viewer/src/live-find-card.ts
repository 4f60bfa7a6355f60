/** What is said at a place of the ground that is pointed at, and a way to stand the mast there. */

import { type Vector2, Vector3 } from "three";
import { button, element } from "./dom.ts";
import type { Listener } from "./hands.ts";
import type { Grid, Spot } from "./live-find-grid.ts";
import { spotText } from "./live-find-grid.ts";
import { standBeside } from "./tip.ts";
import type { Viewer } from "./viewer.ts";

export class SpotCard implements Listener {
  readonly root = element("div", "hm-tip hm-find-card");
  /** The search that lies on the ground, and where its frame lies; null while none is shown. */
  shown: { grid: Grid; offset: readonly [number, number, number] } | null = null;
  private readonly viewer: Viewer;
  private readonly busy: () => boolean;
  private readonly stand: (spot: Spot) => void;
  private at: Vector3 | null = null;
  private pinned = false;

  /** `busy` tells whether something else is being pointed at, which goes first. */
  constructor(viewer: Viewer, host: HTMLElement, busy: () => boolean, stand: (spot: Spot) => void) {
    this.viewer = viewer;
    this.busy = busy;
    this.stand = stand;
    this.root.hidden = true;
    this.root.setAttribute("role", "status");
    host.append(this.root);
    viewer.hands.listeners.push(this);
    viewer.stage.afterDraw(() => this.follow());
    viewer.on("data", () => this.hide());
  }

  hover(at: Vector2 | null): void {
    if (this.pinned) return;
    if (at) this.set(at, false);
    else this.hide();
  }

  tap(at: Vector2): boolean {
    this.hide();
    this.set(at, true);
    return this.pinned;
  }

  hide(): void {
    this.root.hidden = true;
    [this.at, this.pinned] = [null, false];
  }

  private set(at: Vector2, pinned: boolean): void {
    const ground = this.shown && !this.busy() ? this.viewer.hands.groundAt(at) : null;
    const offset = this.shown?.offset ?? [0, 0, 0];
    const now = this.viewer.ground.mesh.position;
    // the grid was told in a frame in which the ground lay at `offset`
    const spot = ground && this.shown?.grid.spot(ground.x - now.x + offset[0], ground.y - now.y + offset[1]);
    if (!spot) return this.hide();
    this.at = ground;
    this.pinned = pinned;
    const words = element("p", "", spotText(spot, this.viewer.units));
    const act = pinned && spot.kind === "works" ? [button("Stand it here", () => this.stand(spot))] : [];
    this.root.replaceChildren(words, ...act);
    this.root.hidden = false;
    this.follow();
  }

  private follow(): void {
    if (!this.at || this.root.hidden) return;
    const pixel = this.viewer.pixel(this.at);
    if (pixel) standBeside(this.root, pixel, this.viewer.stage);
  }
}
