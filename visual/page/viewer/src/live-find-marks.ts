/** On the ground: the best places with their numbers, the one that is pointed at, and the rose. */

import { Vector3 } from "three";
import { element, svg } from "./dom.ts";
import type { Triple } from "./data.ts";
import type { Role } from "./layer-data.ts";
import type { FoundPlace, Rose } from "./live-find-types.ts";
import { lookOf } from "./live-find-rose.ts";
import type { Lettering } from "./lettering.ts";
import type { Boxes } from "./spots.ts";
import type { Viewer } from "./viewer.ts";

const DEGREE = Math.PI / 180;
const PIN = 13; // pixels from the middle of a number to its rim
const ARROW = 14; // metres that the front is drawn out from a place

export interface RingOnGround {
  rose: Rose;
  roles: Record<string, Role>;
  /** Where the ring begins and ends, from the base. [m] */
  inner: number;
  outer: number;
}

export class FoundMarks {
  readonly root = element("div", "hm-find-marks");
  /** A pin was pressed. */
  choose: (place: FoundPlace) => void = () => undefined;
  /** The bearings that lie on the ground, if any do. */
  ring: RingOnGround | null = null;
  private readonly viewer: Viewer;
  private readonly sheet = svg("svg", { class: "hm-live-lines", "aria-hidden": "true" });
  private readonly sectors = svg("g", { class: "hm-ring" });
  private readonly pointed = svg("g", {});
  private pins: { pin: HTMLButtonElement; place: FoundPlace }[] = [];
  private offset: Triple = [0, 0, 0];
  private over: FoundPlace | null = null;
  private bearing: number | null = null;

  constructor(viewer: Viewer, lettering: Lettering) {
    this.viewer = viewer;
    lettering.painters.push((_, boxes) => this.takeRoom(boxes));
    this.sheet.append(this.sectors, this.pointed);
    this.root.append(this.sheet);
    viewer.stage.canvas.after(this.root); // under names and handles
    viewer.stage.afterDraw(() => this.draw());
  }

  /** Show the places of a list; they are in the frame of the ground, which lies at `offset`. */
  setPlaces(places: readonly FoundPlace[], offset: Triple): void {
    for (const { pin } of this.pins) pin.remove();
    this.offset = offset;
    this.pins = places.map((place) => ({ place, pin: this.pin(place) }));
    this.root.append(...this.pins.map((one) => one.pin));
    this.viewer.stage.ask();
  }

  moveTo(offset: Triple): void {
    this.offset = offset;
  }

  setRing(ring: RingOnGround | null): void {
    this.ring = ring;
    const paths = (ring?.rose.bearings ?? []).map((one) => {
      const { role } = lookOf(ring?.rose as Rose, one);
      return svg("path", { fill: ring?.roles[role]?.color ?? "#888", class: `hm-rose-${role}` });
    });
    this.sectors.replaceChildren(...paths);
    this.viewer.stage.ask();
  }

  point(place: FoundPlace | null): void {
    this.over = place;
    for (const one of this.pins) one.pin.classList.toggle("hm-find-over", one.place === place);
    this.viewer.stage.ask();
  }

  pointBearing(bearing: number | null): void {
    if (this.bearing === bearing) return;
    this.bearing = bearing;
    this.viewer.stage.ask();
  }

  private pin(place: FoundPlace): HTMLButtonElement {
    const pin = element("button", place.stops ? "hm-find-pin hm-find-stops" : "hm-find-pin", `${place.rank}`);
    pin.type = "button";
    pin.tabIndex = -1; // the list says the same, and more, to whoever uses the keyboard
    pin.title = "Stand the mast here; this can be undone";
    pin.addEventListener("click", () => this.choose(place));
    pin.addEventListener("pointerenter", () => this.point(place));
    pin.addEventListener("pointerleave", () => this.point(null));
    return pin;
  }

  /** No name may lie over the number of a place. */
  private takeRoom(boxes: Boxes): void {
    for (const { place } of this.pins) {
      const pixel = this.viewer.pixel(this.ground(...this.local(place)));
      if (pixel) boxes.take({ x: pixel.x - PIN, y: pixel.y - PIN, width: 2 * PIN, height: 2 * PIN });
    }
  }

  private draw(): void {
    for (const { pin, place } of this.pins) {
      const pixel = this.viewer.pixel(this.ground(...this.local(place)));
      pin.hidden = !pixel;
      if (pixel) pin.style.transform = `translate(${pixel.x.toFixed(1)}px, ${pixel.y.toFixed(1)}px)`;
    }
    this.drawRing();
    this.drawPointed();
  }

  private drawRing(): void {
    const { ring } = this;
    if (!ring) return;
    const half = ring.rose.turn / 2;
    [...this.sectors.children].forEach((path, k) => {
      const bearing = k * ring.rose.turn;
      const one = ring.rose.bearings[k];
      // a bearing that fails is a short stub, in whatever colours one sees
      const outer = one && lookOf(ring.rose, one).role.match(/_\d/) ? ring.outer : 0.6 * ring.inner + 0.4 * ring.outer;
      const corners = [
        this.around(bearing - half, ring.inner),
        this.around(bearing - half, outer),
        this.around(bearing + half, outer),
        this.around(bearing + half, ring.inner),
      ];
      path.setAttribute("d", this.path(corners, true));
      path.classList.toggle("hm-ring-over", this.bearing === bearing);
    });
  }

  private drawPointed(): void {
    const { over, bearing, ring } = this;
    const parts: SVGElement[] = [];
    if (over) parts.push(...this.arrow(this.local(over), over.front));
    if (bearing !== null && ring) parts.push(svg("path", { d: this.path([this.around(bearing, 0), this.around(bearing, ring.outer)]), class: "hm-find-arrow" }));
    this.pointed.replaceChildren(...parts);
  }

  private arrow([x, y]: [number, number], front: number): SVGElement[] {
    const out = (turn: number, far: number): Vector3 =>
      this.ground(x + far * Math.sin((front + turn) * DEGREE), y + far * Math.cos((front + turn) * DEGREE));
    const shaft = this.path([out(0, 0), out(0, ARROW)]);
    const head = this.path([out(-9, 0.8 * ARROW), out(0, ARROW), out(9, 0.8 * ARROW)]);
    return [svg("path", { d: `${shaft}${head}`, class: "hm-find-arrow" })];
  }

  private path(points: Vector3[], closed = false): string {
    const pixels = points.map((one) => this.viewer.pixel(one));
    if (pixels.some((one) => one === null)) return "";
    return pixels.map((one, k) => `${k ? "L" : "M"}${one?.x.toFixed(1)} ${one?.y.toFixed(1)}`).join("") + (closed ? "Z" : "");
  }

  private around(bearing: number, far: number): Vector3 {
    return this.ground(far * Math.sin(bearing * DEGREE), far * Math.cos(bearing * DEGREE));
  }

  private local(place: FoundPlace): [number, number] {
    return [place.at[0] + this.offset[0], place.at[1] + this.offset[1]];
  }

  private ground(x: number, y: number): Vector3 {
    const offset = this.viewer.ground.mesh.position;
    const z = this.viewer.ground.height(x - offset.x, y - offset.y);
    return new Vector3(x, y, Number.isFinite(z) ? z + offset.z : 0);
  }
}
