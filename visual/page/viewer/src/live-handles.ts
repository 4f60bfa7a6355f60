/** Handles on the ground to drag: base, anchors, front; with the keyboard too. */

import { Vector2, Vector3 } from "three";
import { element, svg } from "./dom.ts";
import type { Triple } from "./data.ts";
import { ARROWS, reachOf } from "./hands.ts";
import type { LiveSession } from "./live-session.ts";
import type { LiveData } from "./live-types.ts";
import { roundText } from "./live-words.ts";
import type { Viewer } from "./viewer.ts";

const OUT = 1.4; // the handle of the front stands this much farther out than the front anchor
const STILL = 3; // pixels that a press may wander and moves nothing yet
const NUDGE = 0.1; // metres that an arrow key moves; ten times that with Ctrl

interface Handle {
  what: "base" | "front" | "anchor";
  side: string | null;
  word: string;
  knob: HTMLButtonElement;
  at: Vector3;
  measured: boolean;
}

export class HandleSet {
  private readonly viewer: Viewer;
  private readonly session: LiveSession;
  private readonly host: HTMLElement;
  private readonly sheet: SVGElement;
  private readonly note = element("div", "hm-live-measure");
  private readonly handles = new Map<string, Handle>();
  private readonly drawn = element("div", "hm-live-handles");
  private held: Handle | null = null;
  /** Where the pointer took hold, until it has left the place. */
  private start: Vector2 | null = null;
  /** From the pointer to the middle of what it holds, in pixels. */
  private aside = new Vector2();
  private level = false;
  /** Keep to the contour, as with Shift. */
  keeps = false;
  private group = "";
  private nudges = 0;
  private data: LiveData | null = null;

  constructor(viewer: Viewer, session: LiveSession, host: HTMLElement) {
    this.viewer = viewer;
    this.session = session;
    this.host = host;
    this.sheet = svg("svg", { class: "hm-live-lines", "aria-hidden": "true" });
    this.note.hidden = true;
    this.drawn.append(this.sheet, this.note);
    host.append(this.drawn);
    viewer.stage.afterDraw(() => this.place());
  }

  /** Take the places of a new scene; what is being dragged stays under the pointer. */
  show(data: LiveData): void {
    const before = this.offset;
    this.data = data;
    // the frame moves with the base: what is held stays where it is on the ground
    this.held?.at.add(this.offset.sub(before));
    this.set("base", "base", null, "Base", new Vector3(0, 0, this.height(0, 0)), false);
    for (const { side, at, measured } of data.live.anchors) {
      const word = `${side[0]?.toUpperCase()}${side.slice(1)} anchor`;
      this.set(`anchor ${side}`, "anchor", side, word, new Vector3(...at), measured);
    }
    const ahead = data.live.anchors.find((one) => one.side === "front")?.at ?? [0, 10, 0];
    const far = OUT * Math.hypot(ahead[0], ahead[1]);
    const [x, y] = [far * Math.sin(data.live.front), far * Math.cos(data.live.front)];
    this.set("front", "front", null, "Front: the mast is pulled this way", new Vector3(x, y, this.height(x, y)), false);
    this.viewer.stage.ask();
  }

  /** Whether one is being dragged. */
  get isHeld(): boolean {
    return this.held !== null;
  }

  private set(
    key: string,
    what: Handle["what"],
    side: string | null,
    word: string,
    at: Vector3,
    measured: boolean,
  ): void {
    const known = this.handles.get(key);
    if (known) {
      if (this.held !== known) known.at = at;
      known.measured = measured;
      known.knob.disabled = measured;
      return;
    }
    const knob = element("button", `hm-live-knob hm-live-${what}`);
    knob.type = "button";
    knob.title = measured ? `${word}: measured, so it stays` : `${word}. Drag it; with Shift it keeps to the contour.`;
    knob.setAttribute("aria-label", word);
    knob.dataset["handle"] = key;
    knob.hidden = true; // until its place on the drawing is known
    knob.disabled = measured;
    const handle: Handle = { what, side, word, knob, at, measured };
    this.handles.set(key, handle);
    knob.addEventListener("pointerdown", (event) => this.grab(handle, event));
    knob.addEventListener("pointermove", (event) => this.drag(handle, event));
    knob.addEventListener("pointerup", (event) => this.drop(handle, event));
    knob.addEventListener("pointercancel", (event) => this.drop(handle, event));
    knob.addEventListener("keydown", (event) => this.key(handle, event));
    this.drawn.append(knob);
  }

  private grab(handle: Handle, event: PointerEvent): void {
    if (event.button !== 0 || handle.measured) return;
    event.preventDefault();
    handle.knob.focus();
    handle.knob.setPointerCapture(event.pointerId);
    this.held = handle;
    this.start = this.viewer.hands.at(event);
    this.aside = (this.viewer.pixel(handle.at) ?? this.start).clone().sub(this.start);
    this.group = `drag ${Date.now()}`;
    this.host.classList.add("hm-live-dragging");
  }

  private drag(handle: Handle, event: PointerEvent): void {
    if (this.held !== handle) return;
    const at = this.viewer.hands.at(event);
    if (this.start && at.distanceTo(this.start) <= reachOf(event, STILL)) return;
    this.start = null;
    const ground = this.viewer.hands.groundAt(at.add(this.aside));
    if (!ground) return;
    handle.at = ground;
    this.level = this.keeps || event.shiftKey;
    this.send(handle);
    this.viewer.stage.ask();
  }

  private drop(handle: Handle, event: PointerEvent): void {
    if (this.held !== handle) return;
    handle.knob.releasePointerCapture(event.pointerId);
    this.held = null;
    this.level = false;
    this.note.hidden = true;
    this.host.classList.remove("hm-live-dragging");
    this.viewer.stage.ask();
  }

  private key(handle: Handle, event: KeyboardEvent): void {
    const way = ARROWS[event.key];
    if (!way || handle.measured) return;
    event.preventDefault();
    event.stopPropagation();
    // away from the eye is up, whatever way the scene is turned
    const turn = this.viewer.stage.eye.stand.bearing + Math.PI;
    const step = event.ctrlKey ? 10 * NUDGE : NUDGE;
    const [right, ahead] = way;
    const x = handle.at.x + step * (right * Math.cos(turn) + ahead * Math.sin(turn));
    const y = handle.at.y + step * (-right * Math.sin(turn) + ahead * Math.cos(turn));
    handle.at = new Vector3(x, y, this.height(x, y));
    this.nudges += 1;
    this.group = `keys ${Math.floor(this.nudges / 20)}`;
    this.level = this.keeps || event.shiftKey;
    this.send(handle);
    this.viewer.stage.ask();
  }

  private send(handle: Handle): void {
    if (!this.data) return;
    const { x, y } = handle.at;
    this.session.push("drag", {
      what: handle.what,
      side: handle.side,
      x,
      y,
      level: this.level,
      seen: this.data.live.version,
      group: this.group,
    });
  }

  private get offset(): Vector3 {
    return new Vector3(...(this.data?.around.offset ?? ([0, 0, 0] as Triple)));
  }

  private height(x: number, y: number): number {
    const offset = this.offset;
    const z = this.viewer.ground.height(x - offset.x, y - offset.y);
    return Number.isFinite(z) ? z + offset.z : 0;
  }

  /** Put every knob, and what is drawn while one is held, where it is on the drawing. */
  private place(): void {
    for (const handle of this.handles.values()) {
      const pixel = this.viewer.pixel(handle.at);
      handle.knob.hidden = !pixel;
      if (!pixel) continue;
      handle.knob.style.transform = `translate(${pixel.x.toFixed(1)}px, ${pixel.y.toFixed(1)}px)`;
      if (handle.what === "front") this.turn(handle, pixel);
    }
    this.drawLines();
  }

  private turn(handle: Handle, pixel: Vector2): void {
    const base = this.viewer.pixel(new Vector3(0, 0, this.height(0, 0)));
    if (!base) return;
    const turn = Math.atan2(pixel.y - base.y, pixel.x - base.x);
    handle.knob.style.setProperty("--turn", `${turn.toFixed(3)}rad`);
  }

  private drawLines(): void {
    const parts: SVGElement[] = [];
    const { data, held } = this;
    if (data && held) {
      if (this.level || held.what === "base") parts.push(...this.path(data.live.level_line, "hm-live-contour"));
      if (held.what !== "base") parts.push(...this.path([[0, 0, 0], held.at.toArray()], "hm-live-reach"));
      this.measure(held);
    }
    this.sheet.replaceChildren(...parts);
  }

  private path(points: Triple[], look: string): SVGElement[] {
    const pixels = points.map((point) => this.viewer.pixel(new Vector3(...point)));
    const found = pixels.filter((one): one is Vector2 => one !== null);
    if (found.length < 2) return [];
    const d = found.map((one, k) => `${k ? "L" : "M"}${one.x.toFixed(1)} ${one.y.toFixed(1)}`).join("");
    return [svg("path", { d, class: look })];
  }

  private measure(held: Handle): void {
    const pixel = this.viewer.pixel(held.at);
    if (!pixel) return;
    const { x, y } = held.at;
    const rise = held.at.z - this.height(0, 0);
    const bearing = ((Math.atan2(x, y) * 180) / Math.PI + 360) % 360;
    const { units } = this.viewer;
    const far = roundText(Math.hypot(x, y), units);
    const up = `${roundText(Math.abs(rise), units)} ${rise < 0 ? "below" : "above"} the base`;
    const words = {
      base: `moved ${far}, to ${bearing.toFixed(0)}°; ${up}`,
      front: `front ${bearing.toFixed(1)}°`,
      anchor: `${far} out, ${bearing.toFixed(1)}°; ${up}`,
    }[held.what];
    this.note.textContent = this.level ? `${words} · on the contour` : words;
    this.note.hidden = false;
    this.note.style.transform = `translate(${pixel.x.toFixed(0)}px, ${(pixel.y - 34).toFixed(0)}px)`;
  }
}
