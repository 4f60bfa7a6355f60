/** Pointer, wheel, touch and keys on the drawing: turn, move, come nearer, point at, tap. */

import { Raycaster, Vector2, Vector3 } from "three";
import { clamp } from "./eye.ts";
import { TwoFingers } from "./fingers.ts";
import type { Stage } from "./stage.ts";

export interface Listener {
  /** The pointer rests at a pixel of the drawing, or is gone. */
  hover?(at: Vector2 | null): void;
  /** A click or tap; return true if it is dealt with. */
  tap?(at: Vector2, event: PointerEvent): boolean;
  /** A press that may begin a drag of something; return true to take it. */
  grab?(at: Vector2, event: PointerEvent): boolean;
  drag?(at: Vector2, event: PointerEvent): void;
  drop?(at: Vector2, event: PointerEvent): void;
}

const TURN = 0.006; // radians per pixel
const STILL = 5; // pixels that a click may wander
const FINGER = 2.4; // times as far off, and as restless, is a finger

/** To the right and ahead, for each arrow key. */
export const ARROWS: Record<string, [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** Pixels within which a pointer means a thing, or holds still: more for a finger. */
export function reachOf(event: Pick<PointerEvent, "pointerType">, pixels: number): number {
  return event.pointerType === "touch" ? pixels * FINGER : pixels;
}

/** How many times as far away the eye is after a turn of the wheel. */
export function wheelFactor(event: Pick<WheelEvent, "deltaY" | "deltaMode" | "ctrlKey">): number {
  const steps = event.deltaY / (event.deltaMode === 1 ? 3 : 100);
  // A pinch on a trackpad comes as a wheel with Ctrl, in many small parts: e to the power of the
  // steps follows the fingers. A wheel turned with Ctrl comes in whole steps, so there is an end.
  if (event.ctrlKey) return Math.exp(clamp(steps, -0.3, 0.3));
  return 1.15 ** clamp(steps, -3, 3);
}

export class Hands {
  /** Asked in turn; put in front what must be asked first. */
  readonly listeners: Listener[] = [];
  private readonly stage: Stage;
  private readonly pointers = new Map<number, Vector2>();
  private readonly ground: (eye: Vector3, way: Vector3) => Vector3 | null;
  private readonly two: TwoFingers;
  private holder: Listener | null = null;
  /** Where the pointer came down, until it has left the place. */
  private start: Vector2 | null = null;
  /** True once more than one finger took part. */
  private several = false;
  private panning = false;

  constructor(stage: Stage, ground: (eye: Vector3, way: Vector3) => Vector3 | null) {
    this.stage = stage;
    this.ground = ground;
    this.two = new TwoFingers(stage, this);
    const canvas = stage.canvas;
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", "The site; arrow keys turn it, plus and minus come nearer and go away");
    canvas.addEventListener("pointerdown", (event) => this.down(event));
    canvas.addEventListener("pointermove", (event) => this.move(event));
    canvas.addEventListener("pointerup", (event) => this.up(event));
    canvas.addEventListener("pointercancel", (event) => this.up(event));
    canvas.addEventListener("pointerleave", () => this.hover(null));
    canvas.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    canvas.addEventListener("keydown", (event) => this.key(event));
    canvas.addEventListener("contextmenu", (event) => event.preventDefault());
  }

  /** Pixel of an event on the drawing. */
  at(event: { clientX: number; clientY: number }): Vector2 {
    const box = this.stage.canvas.getBoundingClientRect();
    return new Vector2(event.clientX - box.left, event.clientY - box.top);
  }

  /** The line of sight through a pixel: where it starts, and its direction. */
  ray(at: Vector2): { from: Vector3; way: Vector3; caster: Raycaster } {
    const { width, height, eye } = this.stage;
    const caster = new Raycaster();
    caster.setFromCamera(
      new Vector2((2 * at.x) / width - 1, 1 - (2 * at.y) / height),
      eye.camera,
    );
    return { from: caster.ray.origin.clone(), way: caster.ray.direction.clone(), caster };
  }

  /** The ground under a pixel, or null. */
  groundAt(at: Vector2): Vector3 | null {
    const { from, way } = this.ray(at);
    return this.ground(from, way);
  }

  private down(event: PointerEvent): void {
    const at = this.at(event);
    this.stage.canvas.setPointerCapture(event.pointerId);
    this.pointers.set(event.pointerId, at);
    this.several = this.pointers.size > 1;
    this.panning = event.button === 2 || event.button === 1 || event.shiftKey;
    if (this.several) return this.grip();
    this.start = at;
    this.holder = this.listeners.find((one) => one.grab?.(at, event)) ?? null;
  }

  private move(event: PointerEvent): void {
    const at = this.at(event);
    const last = this.pointers.get(event.pointerId);
    if (!last) {
      if (event.pointerType !== "touch") this.hover(at);
      return;
    }
    this.pointers.set(event.pointerId, at);
    if (this.start && at.distanceTo(this.start) > reachOf(event, STILL)) this.start = null;
    const [a, b] = this.pointers.values();
    if (this.holder) this.holder.drag?.(at, event);
    else if (a && b) this.two.move(a, b);
    else if (!this.start) this.swing(at.x - last.x, at.y - last.y);
  }

  private up(event: PointerEvent): void {
    const at = this.at(event);
    const known = this.pointers.delete(event.pointerId);
    const { holder, several } = this;
    this.grip();
    if (this.pointers.size > 0) return;
    this.holder = null;
    if (holder) holder.drop?.(at, event);
    else if (known && event.type === "pointerup" && this.start && !several && !this.panning) {
      this.listeners.some((one) => one.tap?.(at, event));
    }
  }

  /** Go on with the fingers that are down; one that is left turns nothing until it moves on. */
  private grip(): void {
    const [a, b] = this.pointers.values();
    if (a && b) this.two.begin(a, b);
    else if (a) this.start = a;
  }

  private swing(right: number, down: number): void {
    const { eye, height } = this.stage;
    const { standing } = eye.stand;
    if (this.panning || standing) eye.pan(-right, down, height);
    else eye.turn(right * TURN, down * TURN);
  }

  private wheel(event: WheelEvent): void {
    event.preventDefault(); // with Ctrl the browser would make the whole page larger
    const towards = this.groundAt(this.at(event));
    this.stage.eye.zoom(wheelFactor(event), towards ?? undefined);
  }

  private key(event: KeyboardEvent): void {
    const { eye, height } = this.stage;
    const move = 60;
    const turn = 0.09;
    const way = ARROWS[event.key];
    if (way && event.shiftKey) eye.pan(way[0] * move, way[1] * move, height);
    else if (way) eye.turn(-way[0] * turn, way[1] * turn);
    else if (event.key === "+" || event.key === "=") eye.zoom(0.85);
    else if (event.key === "-") eye.zoom(1 / 0.85);
    else return;
    event.preventDefault();
  }

  private hover(at: Vector2 | null): void {
    for (const one of this.listeners) one.hover?.(at);
  }
}
