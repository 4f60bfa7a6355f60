/** Which way round: a rose of the bearings at the base, to read, to point at and to choose from. */

import { button, element, svg } from "./dom.ts";
import { bearingText, leftText, workingRole } from "./live-find-grid.ts";
import type { Bearing, Rose, Span } from "./live-find-types.ts";
import type { Role } from "./layer-data.ts";

const [INNER, OUTER, LIMIT] = [34, 92, 96];

export interface RoseEars {
  /** A bearing is pointed at, or none. [degrees] */
  over(bearing: number | null): void;
  choose(bearing: number): void;
}

export class RoseView {
  readonly root = element("div", "hm-rose");
  private readonly ears: RoseEars;
  private readonly said = element("p", "hm-rose-said");
  private readonly drawing = svg("svg", { viewBox: "-122 -122 244 244", class: "hm-rose-drawing" });
  private readonly spans = element("ul", "hm-rose-spans");
  private rose: Rose | null = null;
  private front = 0;
  private held = 0;
  private waits = false;

  constructor(ears: RoseEars) {
    this.ears = ears;
    this.said.setAttribute("role", "status");
    this.drawing.setAttribute("tabindex", "0");
    this.drawing.setAttribute("role", "slider");
    this.drawing.setAttribute("aria-label", "Front bearing; arrow keys look round, Enter turns the front there");
    this.drawing.setAttribute("aria-valuemin", "0");
    this.drawing.setAttribute("aria-valuemax", "360");
    this.drawing.addEventListener("pointermove", (event) => this.point(this.bearingAt(event)));
    this.drawing.addEventListener("pointerleave", () => this.point(null));
    this.drawing.addEventListener("click", (event) => {
      const bearing = this.bearingAt(event);
      if (bearing !== null) this.ears.choose(bearing);
    });
    this.drawing.addEventListener("keydown", (event) => this.key(event));
    this.drawing.addEventListener("focus", () => this.point(this.held));
    this.drawing.addEventListener("blur", () => this.point(null));
    this.root.append(this.drawing, this.said, this.spans);
  }

  fill(rose: Rose, roles: Record<string, Role>, front: number): void {
    this.rose = rose;
    [this.front, this.held] = [front, nearest(front, rose.turn)];
    this.drawing.replaceChildren(...rings(), ...sectors(rose, roles), ...compass(), arrow(front), pointer());
    this.spans.replaceChildren(...rose.spans.map((span) => this.span(span)));
    this.point(null);
  }

  /** Tell that the front is not known as it is now, or that it is again. */
  setWaits(waits: boolean): void {
    if (this.waits === waits) return;
    this.waits = waits;
    this.root.classList.toggle("hm-rose-waits", waits);
    this.point(null);
  }

  private span(span: Span): HTMLElement {
    const { first, last, text, best, left } = span;
    const whole = Math.abs((last - first + 360) % 360 - (360 - (this.rose?.turn ?? 5))) < 0.1;
    const range = whole ? "every bearing" : first === last ? bearingText(first) : `${bearingText(first)} to ${bearingText(last)}`;
    const works = best !== null && !this.rose?.place;
    const words = element("span", "", element("b", "", range), works ? ` works; best ${bearingText(best)}, ${leftText(left)}` : ` ${best === null ? text : "would do, but the place is lost"}`);
    const row = element("li", works ? "hm-rose-works" : "hm-rose-fails", words);
    if (works) row.append(button(`Turn to ${bearingText(best)}`, () => this.ears.choose(best)));
    return row;
  }

  private point(bearing: number | null): void {
    const { rose } = this;
    if (!rose) return;
    const hand = this.drawing.querySelector<SVGElement>(".hm-rose-pointer");
    hand?.setAttribute("visibility", bearing === null ? "hidden" : "visible");
    if (bearing !== null) hand?.setAttribute("transform", `rotate(${bearing})`);
    const seen = bearing ?? nearest(this.front, rose.turn);
    this.said.textContent = bearing !== null ? bearingSaid(rose, seen) : this.waits ? "The front as it is now follows …" : nowText(rose, this.front);
    this.drawing.setAttribute("aria-valuenow", `${seen}`);
    this.drawing.setAttribute("aria-valuetext", bearingSaid(rose, seen));
    this.ears.over(bearing);
  }

  private key(event: KeyboardEvent): void {
    const { rose } = this;
    if (!rose) return;
    const step = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
    if (event.key === "Enter" || event.key === " ") this.ears.choose(this.held);
    else if (step) this.held = (this.held + step * rose.turn + 360) % 360;
    else return;
    event.preventDefault();
    this.point(this.held);
  }

  private bearingAt(event: MouseEvent): number | null {
    const box = this.drawing.getBoundingClientRect();
    const x = event.clientX - box.left - box.width / 2;
    const y = box.height / 2 - (event.clientY - box.top);
    if (!this.rose || Math.hypot(x, y) < 0.06 * box.width) return null;
    return nearest((Math.atan2(x, y) * 180) / Math.PI, this.rose.turn);
  }
}

/** The bearing of a rose that is nearest to this one. [degrees] */
export function nearest(bearing: number, turn: number): number {
  return ((Math.round(bearing / turn) * turn) % 360 + 360) % 360;
}

export function bearingOf(rose: Rose, bearing: number): Bearing | null {
  return rose.bearings[Math.round(bearing / rose.turn) % rose.bearings.length] ?? null;
}

/** What is said of a bearing; where the place itself is lost, none works. */
export function bearingSaid(rose: Rose, bearing: number): string {
  const one = bearingOf(rose, bearing);
  const front = `Front ${bearingText(bearing)}`;
  if (rose.place) return `${front}: no; the place is lost whatever the bearing: ${rose.place}`;
  if (!one || one.left === null) return `${front}: not known${one ? ` (${one.text})` : ""}`;
  return one.works ? `${front} works: ${leftText(one.left)}; tightest: ${one.text}` : `${front} does not work: ${one.text}`;
}

function nowText(rose: Rose, front: number): string {
  return `As it is now: ${bearingSaid(rose, nearest(front, rose.turn)).replace("Front ", "front ")}.`;
}

/** Outline of the sector of one bearing, between two radii. */
export function sector(bearing: number, half: number, inner: number, outer: number): string {
  const at = (turn: number, far: number): string => {
    const angle = (turn * Math.PI) / 180;
    return `${(far * Math.sin(angle)).toFixed(2)} ${(-far * Math.cos(angle)).toFixed(2)}`;
  };
  const [a, b] = [bearing - half, bearing + half];
  return `M${at(a, inner)}L${at(a, outer)}A${outer} ${outer} 0 0 1 ${at(b, outer)}L${at(b, inner)}A${inner} ${inner} 0 0 0 ${at(a, inner)}Z`;
}

/** The look of a bearing: how far out its sector goes, its colour, and a pattern where it fails. */
export function lookOf(rose: Rose, one: Bearing): { role: string; reach: number } {
  if (rose.place || one.left === null) return { role: "search_lost", reach: 0.28 };
  if (!one.works) return { role: "search_fails", reach: 0.28 };
  return { role: workingRole(one.left), reach: 0.34 + 0.66 * Math.min(1, one.left) };
}

function sectors(rose: Rose, roles: Record<string, Role>): SVGElement[] {
  return rose.bearings.map((one, k) => {
    const { role, reach } = lookOf(rose, one);
    const d = sector(k * rose.turn, rose.turn / 2, INNER, INNER + reach * (OUTER - INNER));
    return svg("path", { d, fill: roles[role]?.color ?? "#888", class: `hm-rose-sector hm-rose-${role}` });
  });
}

function rings(): SVGElement[] {
  return [svg("circle", { r: LIMIT, class: "hm-rose-ring" }), svg("circle", { r: INNER, class: "hm-rose-ring" })];
}

function compass(): SVGElement[] {
  return ["N", "E", "S", "W"].map((letter, k) => {
    const angle = (k * Math.PI) / 2;
    const [x, y] = [109 * Math.sin(angle), -109 * Math.cos(angle)];
    return svg("text", { x, y: y + 5, class: "hm-rose-letter" }, letter);
  });
}

function arrow(front: number): SVGElement {
  const d = "M0 12V-22M-7 -14L0 -26L7 -14";
  return svg("path", { d, class: "hm-rose-front", transform: `rotate(${front})` });
}

function pointer(): SVGElement {
  return svg("path", { d: "M0 -30V-104M-6 -97L0 -106L6 -97", class: "hm-rose-pointer", visibility: "hidden" });
}
