/** A card of words beside a place of the ground that is pointed at, and a way to act on it. */

import type { Vector2, Vector3 } from "three";
import { element } from "./dom.ts";
import type { Listener } from "./hands.ts";
import { standBeside } from "./tip.ts";
import type { Viewer } from "./viewer.ts";

/** What is said at a place, and what can be done there once it was tapped. */
export interface GroundWords {
  words: string;
  act: HTMLElement | null;
}

export abstract class GroundCard implements Listener {
  readonly root = element("div", "hm-tip hm-find-card");
  protected readonly viewer: Viewer;
  private at: Vector3 | null = null;
  private pinned = false;

  constructor(viewer: Viewer, place: (card: HTMLElement) => void) {
    this.viewer = viewer;
    this.root.hidden = true;
    this.root.setAttribute("role", "status");
    place(this.root);
    viewer.hands.listeners.push(this);
    viewer.stage.afterDraw(() => this.follow());
    viewer.on("data", () => this.hide());
  }

  /** Return what is said at a place of the ground; null where nothing is. */
  protected abstract tell(ground: Vector3): GroundWords | null;

  hover(at: Vector2 | null): void {
    if (!this.pinned) this.set(at, false);
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

  private set(at: Vector2 | null, pinned: boolean): void {
    const ground = at && this.viewer.hands.groundAt(at);
    const told = ground && this.tell(ground);
    if (!told) return this.hide();
    [this.at, this.pinned] = [ground, pinned];
    this.root.replaceChildren(element("p", "", told.words), ...(pinned && told.act ? [told.act] : []));
    this.root.hidden = false;
    this.follow();
  }

  private follow(): void {
    if (!this.at || this.root.hidden) return;
    const pixel = this.viewer.pixel(this.at);
    if (pixel) standBeside(this.root, pixel, this.viewer.stage);
  }
}
