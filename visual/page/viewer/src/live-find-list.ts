/** Where else it works: how much of the land, the best places, and what the rest is lost to. */

import { element, svg } from "./dom.ts";
import type { Units } from "./data.ts";
import type { Grid } from "./live-find-grid.ts";
import { awayText, bearingText, leftText, windWord } from "./live-find-grid.ts";
import type { Found, FoundPlace, Said } from "./live-find-types.ts";
import { statusSign } from "./status.ts";

export interface ListEars {
  /** A place is pointed at, or none. */
  over(place: FoundPlace | null): void;
  choose(place: FoundPlace): void;
}

export interface Here {
  /** From the base as it stands now to a place. */
  from(place: FoundPlace): [number, number];
  front: number;
  units: Units;
  /** False while it is not known where the places lie from the mast as it stands now. */
  known: boolean;
}

export class PlaceList {
  readonly root = element("div", "hm-find-result");
  private readonly ears: ListEars;
  /** Ranks of the places whose findings are unfolded. */
  private readonly unfolded = new Set<number>();

  constructor(ears: ListEars) {
    this.ears = ears;
  }

  fill(grid: Grid | null, here: Here): void {
    const held = document.activeElement instanceof HTMLElement ? document.activeElement.dataset["rank"] : undefined;
    if (!grid) return this.root.replaceChildren();
    const { found } = grid;
    const rows = found.places.map((place) => this.row(place, here));
    this.root.replaceChildren(
      element("p", "hm-find-sum", summary(found, here.units)),
      ...(rows.length ? [element("ol", "hm-find-places", ...rows)] : []),
      reasonsTable(found, here.units, rows.length === 0),
    );
    if (held) this.root.querySelector<HTMLElement>(`[data-rank="${held}"]`)?.focus();
  }

  private row(place: FoundPlace, here: Here): HTMLElement {
    const [x, y] = here.from(place);
    const away = Math.hypot(x, y);
    const turned = Math.abs(((place.front - here.front + 540) % 360) - 180);
    const stands = here.known && away < 0.05 && turned < 0.1;
    const lies = away < 0.05 ? "where the base is now" : `${awayText(away, here.units)} to the ${windWord(x, y)}`;
    const where = here.known ? lies : "distance follows …";
    const press = element(
      "button",
      "hm-find-place",
      element("span", "hm-find-rank", `${place.rank}`),
      element("b", "", where),
      element("span", "hm-find-front", `front ${bearingText(place.front)}`),
      leftBar(place),
      element("span", "hm-find-why", place.stops ? "" : `${leftText(place.left)}; tightest: ${place.tightest}`),
      element("span", "hm-find-state", ...stateOf(place)),
    );
    press.type = "button";
    press.dataset["rank"] = `${place.rank}`;
    press.title = "Stand the mast here; this can be undone";
    if (stands) press.setAttribute("aria-current", "true");
    press.addEventListener("click", () => this.ears.choose(place));
    for (const what of ["pointerenter", "focus"]) press.addEventListener(what, () => this.ears.over(place));
    for (const what of ["pointerleave", "blur"]) press.addEventListener(what, () => this.ears.over(null));
    const more = worstOf(place, here.units);
    more.open = this.unfolded.has(place.rank);
    more.addEventListener("toggle", () => (more.open ? this.unfolded.add(place.rank) : this.unfolded.delete(place.rank)));
    return element("li", "", press, more);
  }
}

export function summary(found: Found, units: Units): string {
  const stopped = found.complete ? "" : "Stopped before the end; this was found so far. ";
  if (!found.works) return `${stopped}Nowhere on the ${found.area[units]} that were looked at does any bearing work.`;
  const share = Math.max(1, Math.round(100 * found.works_share));
  const some = `${stopped}A bearing works on ${found.works[units]} of ${found.area[units]} (${share} %).`;
  if (!found.places.length) return some;
  if (found.places.every((place) => place.stops)) {
    return `${some} But something else stops all of the best places: open one to see what. It may be the rig, not the place.`;
  }
  return `${some} The best places, well apart. Press one, and the mast stands there:`;
}

function stateOf(place: FoundPlace): Node[] {
  if (place.stops) {
    const word = place.stops === 1 ? "1 thing stops it after all" : `${place.stops} things stop it after all`;
    return [statusSign("stop"), element("span", "", ` ${word}`)];
  }
  const sign = statusSign(place.unchecked ? "not checked" : place.cautions ? "caution" : "ok");
  const more = [place.unchecked ? `${place.unchecked} not checked` : "", place.cautions ? `${place.cautions} ${place.cautions === 1 ? "needs" : "need"} care` : ""];
  return [sign, element("span", "", ` ${["nothing stops", ...more.filter(Boolean)].join(", ")}`)];
}

function leftBar(place: FoundPlace): SVGElement {
  const wide = Math.max(0, Math.min(1, place.left)) * 60;
  const whole = svg("rect", { x: 0.5, y: 0.5, width: 60, height: 7, fill: "none", stroke: "#8d8474" });
  const part = svg("rect", { x: 0.5, y: 0.5, width: wide, height: 7, fill: place.stops ? "#a83a00" : "#00694c" });
  return svg("svg", { viewBox: "0 0 61 8", class: "hm-find-bar", "aria-hidden": "true" }, part, whole);
}

/** The worst of what the full check says there. */
function worstOf(place: FoundPlace, units: Units): HTMLDetailsElement {
  const more = element("details", "hm-find-more", element("summary", "", worstWord(place)));
  for (const one of place.findings) {
    const words = element("span", "", element("b", "", one.subject), ` ${one.message[units]}`);
    more.append(element("p", "", statusSign(one.status), words));
  }
  more.hidden = place.findings.length === 0;
  return more;
}

function worstWord(place: FoundPlace): string {
  const first = place.findings[0];
  return first ? `Worst there: ${first.check}, ${first.subject}` : "";
}

function reasonsTable(found: Found, units: Units, open: boolean): HTMLElement {
  const lost = found.reasons.filter((one) => one.kind !== "works").sort((a, b) => b.share - a.share);
  const rows = lost.map((one) => element("li", "", sample(one), element("span", "", `${one.area[units]}: ${one.text[units]}`)));
  const made = element("details", "hm-find-lost", element("summary", "", "What the rest is lost to"), element("ul", "", ...rows));
  made.open = open;
  made.hidden = rows.length === 0;
  return made;
}

function sample(one: Said): HTMLElement {
  return element("span", `hm-find-swatch hm-find-${one.kind}`);
}
