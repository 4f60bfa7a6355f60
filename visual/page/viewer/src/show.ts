/** What is shown: groups to tick, the light, and the legend. */

import { button, choice, element, svg, tick } from "./dom.ts";
import { markEdges } from "./edges.ts";
import type { Lettering } from "./lettering.ts";
import type { Units } from "./data.ts";
import type { Role } from "./layer-data.ts";
import { SunLight } from "./sun.ts";
import { ASKED_FOR, ONE_VIEW, type Viewer } from "./viewer.ts";

const FADE = 44; // pixels at the ends of a row that scrolls

export class Show {
  readonly root = element("div", "hm-show");
  readonly sun: SunLight;
  private readonly viewer: Viewer;
  private readonly lettering: Lettering;
  private readonly boxes = new Map<string, HTMLInputElement>();

  constructor(viewer: Viewer, lettering: Lettering) {
    this.viewer = viewer;
    this.lettering = lettering;
    this.sun = new SunLight(viewer);
    viewer.on("data", () => this.fill());
    viewer.on("groups", (hidden) => {
      for (const [key, box] of this.boxes) box.checked = !hidden.has(key);
    });
    this.fill();
  }

  private fill(): void {
    const { viewer } = this;
    const there = groupsThere(viewer);
    const groups = viewer.data.groups.filter((one) => there.has(one.key));
    this.boxes.clear();
    const ticks = groups.map(({ key, word }) => {
      const made = tick(element("span", "", word), !viewer.hidden.has(key), (on) => viewer.show(key, on));
      this.boxes.set(key, made.querySelector("input") as HTMLInputElement);
      return made;
    });
    const names = tick("Names", this.lettering.named, (on) => {
      this.lettering.named = on;
      viewer.stage.ask();
    });
    const shown = element("fieldset", "hm-ticks", element("legend", "", "In the scene"), ...ticks, names);
    this.root.replaceChildren(shown, this.sun.root, element("h3", "", "What the signs mean"), legend(viewer));
  }
}

/** Metric or imperial, for every number on the page. */
export function unitsChoice(viewer: Viewer): HTMLElement {
  const options: [Units, string][] = [["metric", "metric"], ["imperial", "ft, lb"]];
  const made = choice("Units", options, viewer.units, (units) => viewer.setUnits(units));
  viewer.on("units", (units) => {
    for (const one of made.querySelectorAll("input")) one.checked = one.value === units;
  });
  return made;
}

export function viewButtons(viewer: Viewer): HTMLElement {
  const row = element("nav", "hm-views");
  row.setAttribute("aria-label", "Views");
  const fill = (): void => {
    const made = viewer.data.views.map((view) => {
      const one = button(view.word, () => viewer.showView(view.name), "hm-view");
      one.dataset["view"] = view.name;
      return one;
    });
    row.replaceChildren(...made);
    press();
  };
  const press = (): void => {
    for (const one of row.querySelectorAll<HTMLElement>(".hm-view")) {
      const isOn = one.dataset["view"] === viewer.view?.name;
      one.setAttribute("aria-pressed", `${isOn}`);
      if (isOn) bringInto(row, one);
    }
  };
  viewer.on("data", fill);
  viewer.on("view", press);
  fill();
  markEdges(row);
  return row;
}

/** Scroll a row sideways until all of one thing in it is seen, clear of the fade at its ends. */
function bringInto(row: HTMLElement, one: HTMLElement): void {
  const [from, to] = [one.offsetLeft - row.offsetLeft, one.offsetLeft - row.offsetLeft + one.offsetWidth];
  if (from - FADE < row.scrollLeft) row.scrollLeft = from - FADE;
  else if (to + FADE > row.scrollLeft + row.clientWidth) row.scrollLeft = to + FADE - row.clientWidth;
}

function groupsThere(viewer: Viewer): Set<string> {
  const { around, layers, rig } = viewer.data;
  const all = [...around.layers, ...layers, ...rig.mast, ...rig.lifting, ...rig.standing];
  const found = new Set(all.map((layer) => layer.group));
  if (viewer.data.nearby?.length) found.add("distances");
  if (viewer.data.approaches.length) found.add("approach");
  if (viewer.data.forces) found.add("forces");
  return found;
}

/** The legend of a plan on paper: what stands, and nothing of the raise. */
export function standingLegend(viewer: Viewer): HTMLElement {
  const { around, layers, rig } = viewer.data;
  const all = [...around.layers, ...layers, ...rig.mast, ...rig.standing].filter((one) => ![...ONE_VIEW, ...ASKED_FOR].includes(one.group));
  return legendOf(viewer, new Set(all.map((one) => one.role)));
}

/** One entry for each word of the legend that is in the scene. */
export function legend(viewer: Viewer): HTMLElement {
  const { around, layers, rig } = viewer.data;
  const all = [...around.layers, ...layers, ...rig.mast, ...rig.lifting, ...rig.standing];
  const used = new Set(all.filter((one) => !ONE_VIEW.includes(one.group)).map((one) => one.role));
  for (const track of rig.tracks) for (const role of track.roles) used.add(role);
  for (const one of viewer.data.approaches) used.add(one.role).add(one.reach ? "rotor_reach" : one.role);
  if (viewer.data.forces) for (const role of ["force", "force_inside"]) used.add(role);
  return legendOf(viewer, used);
}

function legendOf(viewer: Viewer, used: ReadonlySet<string>): HTMLElement {
  const list = element("ul", "hm-legend");
  const written = new Set<string>();
  const { roles } = viewer.data;
  for (const [key, role] of Object.entries(roles)) {
    if (!used.has(key) || !role.word || role.swatch === "none" || written.has(role.word)) continue;
    written.add(role.word);
    const edge = roles[`${key}_edge`];
    list.append(element("li", "", swatch(role, edge), element("span", "", role.word)));
  }
  return list;
}

function swatch(role: Role, edge: Role | undefined): SVGElement {
  const parts: SVGElement[] = [];
  const line = (of: Role): SVGElement => {
    const dash = of.dash.map((one) => one * 2.4).join(" ");
    const look = { stroke: of.color, "stroke-width": Math.max(1, of.width * 3.2), "stroke-dasharray": dash };
    return svg("path", { d: "M1 8H33", fill: "none", ...look });
  };
  if (role.swatch === "area" || role.swatch === "solid") {
    const box = { x: 1.5, y: 2, width: 31, height: 12, fill: role.color };
    const rim = edge ?? role;
    const dash = rim.dash.map((one) => one * 2.4).join(" ");
    const look = { stroke: rim.color, "stroke-width": Math.max(1, rim.width * 2.6), "stroke-dasharray": dash };
    parts.push(svg("rect", { ...box, "fill-opacity": Math.max(role.opacity, 0.12), ...look }));
  } else if (role.swatch === "tree") parts.push(svg("circle", { cx: 17, cy: 8, r: 6.5, fill: role.color }));
  else if (role.swatch === "mark") parts.push(markSwatch(role));
  else if (role.swatch === "comb") parts.push(svg("path", { d: "M1 5H33M8 5v7M17 5v7M26 5v7", stroke: role.color, "stroke-width": 1.3 }));
  else if (role.swatch === "arrow") {
    parts.push(line(role), svg("path", { d: "M33 8L22 3.4V12.6Z", fill: role.color }));
  } else parts.push(line(role));
  return svg("svg", { viewBox: "0 0 34 16", class: "hm-swatch", "aria-hidden": "true" }, ...parts);
}

function markSwatch(role: Role): SVGElement {
  if (role.word === "viewpoint") return svg("path", { d: "M17 1l7 7-7 7-7-7z", fill: role.color });
  if (role.word === "base plate") {
    return svg("circle", { cx: 17, cy: 8, r: 5, fill: "#fffdf7", stroke: role.color, "stroke-width": 2 });
  }
  return svg("rect", { x: 12, y: 3, width: 10, height: 10, fill: role.color });
}
