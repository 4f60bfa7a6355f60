/** The findings as a list to go through, and as a plain table. */

import { Raycaster, Vector3 } from "three";
import { button, element } from "./dom.ts";
import type { Finding, Status, Units } from "./data.ts";
import { findingsTable, plainTable, wide } from "./table.ts";
import type { Stand } from "./stand.ts";
import { drawMark, type Lettering } from "./lettering.ts";
import { drawText, placeAnywhere, textBox } from "./spots.ts";
import { COLOURS, STATUSES, statusSign } from "./status.ts";
import { angleText } from "./units.ts";
import type { Viewer } from "./viewer.ts";

const TITLES: Record<Status, string> = {
  stop: "Stops the raise",
  "not checked": "Not checked",
  caution: "Needs care",
  ok: "Inside the limits",
};

/** A way from a finding to where the missing value can be given. */
export interface Giving {
  word(key: string): string;
  go(key: string): void;
}

const READERS: readonly (readonly [Finding["reader"], string])[] = [
  ["permit", "For the permit"],
  ["crew", "For the crew"],
  ["rest", "The rest"],
];

export class Findings {
  readonly root = element("div", "hm-findings");
  /** The finding that is marked in the scene. */
  marked: Finding | null = null;
  private readonly viewer: Viewer;
  /** Null where nothing can be given, as in a page that was sent. */
  private giving: Giving | null = null;

  constructor(viewer: Viewer, lettering: Lettering) {
    this.viewer = viewer;
    lettering.painters.push((ink, boxes) => {
      const { marked } = this;
      if (!marked?.where || !isAtItsAngle(marked, viewer)) return;
      const pixel = viewer.pixel(new Vector3(...marked.where));
      if (!pixel) return;
      ink.strokeStyle = COLOURS[marked.status];
      ink.lineWidth = 2.5;
      ink.beginPath();
      ink.arc(pixel.x, pixel.y, 15, 0, 7);
      ink.stroke();
      drawMark(ink, "dot", pixel, 4.5, COLOURS[marked.status]);
      const lines = [marked.subject, numbersOf(marked, viewer)].filter(Boolean);
      const block = textBox(ink, lines, 13, true);
      const spot = placeAnywhere(boxes, block, pixel, 19);
      if (spot) drawText(ink, spot, COLOURS[marked.status], true);
      boxes.take({ x: pixel.x - 16, y: pixel.y - 16, width: 32, height: 32 });
    });
    viewer.on("data", () => this.fill());
    viewer.on("units", () => this.fill());
    viewer.on("view", (name) => {
      if (name && this.marked) this.clear(); // another picture is looked at
    });
    this.fill();
  }

  /** Go to a finding: the mast at its angle, the eye where its place can be seen. */
  show(finding: Finding, seconds = 1.0): void {
    const { viewer } = this;
    this.cleared();
    viewer.leaveView();
    if (finding.angle !== null) viewer.setAngle(finding.angle);
    if (!this.apart?.(finding, seconds)) this.goTo(finding, seconds);
    this.marked = finding; // after the view has changed, which takes marks away
    this.press();
  }

  private goTo(finding: Finding, seconds: number): void {
    const { viewer } = this;
    if (finding.where) viewer.fly(viewer.inTheClear(standBefore(viewer, new Vector3(...finding.where))), seconds);
    else viewer.showView("overview", seconds, { keepAngle: finding.angle !== null });
  }

  /** Told when no finding is marked any more. */
  cleared: () => void = () => {};

  /** Asked first to show a finding: true if it is about a distance, which is then drawn. */
  apart: ((finding: Finding, seconds: number) => boolean) | null = null;

  setGiving(giving: Giving): void {
    this.giving = giving;
    this.fill();
  }

  clear(): void {
    this.marked = null;
    this.cleared();
    this.press();
    this.viewer.stage.ask();
  }

  private fill(): void {
    const { findings } = this.viewer.data;
    if (this.marked) {
      const { check, subject } = this.marked;
      this.marked = findings.find((one) => one.check === check && one.subject === subject) ?? null;
    }
    const parts = READERS.map(([reader, title]) => this.group(title, reader, findings.filter((one) => one.reader === reader)));
    const table = element("details", "hm-as-table", element("summary", "", "All of it as a table"), wide(findingsTable(this.viewer.data, this.viewer.units)));
    this.root.replaceChildren(...parts, table);
    this.press();
  }

  /** The findings that one reader asks for: what needs attention, and closed below it the rest. */
  private group(title: string, reader: string, those: Finding[]): HTMLElement {
    const counts = STATUSES.flatMap((status) => {
      const many = those.filter((one) => one.status === status).length;
      return many ? [element("span", "hm-tally", statusSign(status), ` ${many}`)] : [];
    });
    const made = element("details", "hm-reader", element("summary", "", title, element("span", "hm-tallies", ...counts)));
    made.dataset["reader"] = reader;
    made.hidden = those.length === 0;
    made.open = reader === "permit" || those.some((one) => one.status !== "ok");
    made.append(...STATUSES.map((status) => this.part(status, those.filter((one) => one.status === status))));
    if (reader === "permit") made.append(...this.tables("distances", "rules"));
    return made;
  }

  private part(status: Status, those: Finding[]): HTMLElement {
    const title = element("summary", "", statusSign(status), ` ${TITLES[status]} `, element("span", "hm-count", `${those.length}`));
    const part = element("details", "hm-status", title, element("ul", "", ...those.map((one) => this.item(one))));
    part.open = status !== "ok";
    part.hidden = those.length === 0;
    return part;
  }

  private tables(...names: string[]): HTMLElement[] {
    const known = this.viewer.data.paper?.tables ?? {};
    return names.flatMap((name) => {
      const one = known[name];
      return one ? [element("details", "hm-as-table", element("summary", "", one.title), plainTable(name, one, this.viewer.units))] : [];
    });
  }

  private item(finding: Finding): HTMLLIElement {
    const open = element("button", "hm-finding");
    open.type = "button";
    open.dataset["subject"] = `${finding.check}/${finding.subject}`;
    const place = finding.where || finding.angle !== null ? "" : " hm-nowhere";
    open.className += place;
    open.append(
      element("span", "hm-subject", finding.subject),
      element("span", "hm-check", finding.check),
      element("span", "hm-found", numbersOf(finding, this.viewer)),
      element("span", "hm-message", wordsOf(finding, this.viewer.units)),
    );
    open.addEventListener("click", () => (this.marked === finding ? this.clear() : this.show(finding)));
    const { giving } = this;
    if (!giving || !finding.missing) return element("li", "", open);
    const give = button(giving.word(finding.missing), () => giving.go(finding.missing), "hm-button hm-give");
    return element("li", "", open, give);
  }

  private press(): void {
    const { marked } = this;
    const name = marked ? `${marked.check}/${marked.subject}` : "";
    for (const one of this.root.querySelectorAll<HTMLElement>(".hm-finding")) {
      one.setAttribute("aria-pressed", `${one.dataset["subject"] === name}`);
    }
  }
}

/** Whether the mast is where a finding is about: elsewhere its mark would hang in empty air. */
function isAtItsAngle(finding: Finding, viewer: Viewer): boolean {
  if (finding.angle === null) return true;
  const now = viewer.angle === "standing" ? 90 : viewer.angle;
  return Math.abs(now - finding.angle) < 0.5;
}

/** What is said of it; a distance rule in one line says from where, and whose rule it is. */
function wordsOf(finding: Finding, units: Units): string {
  const said = finding.message[units];
  return finding.check === "setback" && finding.basis ? `${said} · ${finding.basis}` : said;
}

function numbersOf(finding: Finding, viewer: Viewer): string {
  const { units } = viewer;
  if (finding.check === "setback" && finding.value && finding.limit) {
    return `needs ${finding.limit[units].replace("at least ", "")}, is ${finding.value[units]}`;
  }
  const found = finding.value?.[units] ?? "";
  const limit = finding.limit?.[units] ?? "";
  const angle = finding.angle === null ? "" : `at ${angleText(finding.angle)}`;
  return [found, limit, angle].filter(Boolean).join(", ");
}

/** Where to stand to see a place: as now if it can be seen from there, or turned until it can. */
function standBefore(viewer: Viewer, place: Vector3): Stand {
  const now = viewer.stage.eye.stand;
  const reach = Math.max(14, 1.15 * (viewer.place("mast top")?.length() ?? 15));
  const solid = viewer.things.solids();
  const offset = viewer.ground.mesh.position;
  const height = now.flat || now.height > 0.9 || now.height < 0.1 ? 0.42 : now.height;
  for (let k = 0; k < 24; k++) {
    const bearing = now.bearing + (k % 2 ? 1 : -1) * Math.ceil(k / 2) * 0.27;
    for (const h of [height, 0.3, 0.7]) {
      const back = new Vector3(Math.sin(bearing) * Math.cos(h), Math.cos(bearing) * Math.cos(h), Math.sin(h));
      const eye = place.clone().addScaledVector(back, 2.1 * reach);
      if (viewer.ground.hides(eye.clone().sub(offset), place.clone().sub(offset))) continue;
      const caster = new Raycaster(eye, back.clone().negate(), 0.1, 2.1 * reach - 0.8);
      if (caster.intersectObjects(solid, false).length > 0) continue;
      return { ...standing(place, bearing, h), distance: 2.1 * reach };
    }
  }
  return { ...standing(place, now.bearing, 0.9), distance: 2.1 * reach };
}

function standing(target: Vector3, bearing: number, height: number): Stand {
  const fieldOfView = (32 * Math.PI) / 180;
  return { target, bearing, height, distance: 30, fieldOfView, flat: false, rise: 0, standing: false };
}
