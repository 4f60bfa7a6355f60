/** The page on paper: always the same, whatever is open or shown on the screen. */

import { glossary, type InShort, neverChecked } from "./brief.ts";
import type { Brief, ViewData } from "./data.ts";
import { element } from "./dom.ts";
import type { Lettering } from "./lettering.ts";
import { runningLines } from "./paper-margins.ts";
import { type Aside, drawAside } from "./paper-picture.ts";
import { standingLegend } from "./show.ts";
import { findingsTable, plainTable } from "./table.ts";
import { badgeParts, verdictInFull } from "./verdict.ts";
import type { Viewer } from "./viewer.ts";

/** How sure the numbers are, and what must be known to read them. */
export interface Said {
  standing: string;
  notes: string[];
}

/** Answers that page 1 begins with. */
const GLANCE = [["high", "Height"], ["fall", "A fall"], ["when", "When"], ["ask", "Ask"]] as const;

const HALF_WAY = 45; // degrees
const WINDOWS = 3; // more would bury what is on paper for everybody

export class Paper {
  readonly root = element("section", "hm-paper");
  private readonly viewer: Viewer;
  private readonly lettering: Lettering;
  private readonly short: () => InShort | null;
  private readonly said: () => Said;

  constructor(viewer: Viewer, lettering: Lettering, short: () => InShort | null, said: () => Said) {
    [this.viewer, this.lettering, this.short, this.said] = [viewer, lettering, short, said];
    addEventListener("beforeprint", () => this.fill());
  }

  fill(): void {
    const { site, brief, paper } = this.viewer.data;
    const dated = site.date ? `planned on ${site.date}` : "no date given";
    runningLines(site.name, dated, "Planning aid, not a stamped design and no permit");
    const views = paper?.views ?? this.viewer.data.views.filter((one) => one.name === "plan");
    const [first, ...others] = views;
    const short = this.short();
    this.root.replaceChildren(
      element("h1", "", site.name),
      element("p", "", [dated, this.said().standing, ...(paper?.place ?? [])].filter(Boolean).join(" · ")),
      brief ? verdictInFull(brief.verdict) : element("p", "hm-said", ...badgeParts(this.viewer.data)),
      ...(brief ? [this.atAGlance(brief)] : []),
      ...(first ? [this.firstPicture(first.name)] : []),
      ...(short ? [element("h2", first ? "hm-own-page" : "", "In short"), short.onPaper] : []),
      ...(brief ? [neverChecked(brief)] : []),
      ...this.sights(),
      element("h2", "", "Distances and rules"),
      ...others.map((one) => this.picture(one.name)),
      ...this.tables("distances", "rules", "unchecked"),
      element("h2", "", "For the crew"),
      element("ul", "", ...site.cautions.map((one) => element("li", "", one))),
      ...this.tables("watch", "wires", "anchors"),
      ...(brief ? [element("h2", "", "What the words mean"), glossary(brief)] : []),
      element("h2", "", "All findings"),
      element("div", "hm-all-findings", findingsTable(this.viewer.data, this.viewer.units)),
      element("p", "hm-hint", [...this.said().notes, site.program].join(" · ")),
    );
  }

  /** What page 1 must say even to somebody who reads no further. */
  private atAGlance(brief: Brief): HTMLElement {
    const cells = GLANCE.flatMap(([key, word]) => {
      const one = brief.answers.find((answer) => answer.key === key);
      return one ? [element("dt", "", word), element("dd", "", one.lead[this.viewer.units])] : [];
    });
    return element("dl", "hm-glance", ...cells);
  }

  private tables(...names: string[]): HTMLElement[] {
    const known = this.viewer.data.paper?.tables ?? {};
    return names.flatMap((name) => (known[name] ? [plainTable(name, known[name], this.viewer.units)] : []));
  }

  /** The plan of page 1, with what its signs mean. */
  private firstPicture(name: string): HTMLElement {
    const made = this.picture(name, { size: "low" });
    made.append(standingLegend(this.viewer));
    return made;
  }

  private picture(name: string, aside: Aside = {}): HTMLElement {
    const { data } = this.viewer;
    const view = [...(data.paper?.views ?? []), ...data.views].find((one) => one.name === name);
    return view ? this.figure(view, `${view.word}, the mast standing`, aside) : element("p");
  }

  /** What it looks like: from afar, on its way up, and from the places somebody looks from. */
  private sights(): HTMLElement[] {
    const { views } = this.viewer.data;
    const overview = views.find((one) => one.name === "overview");
    const windows = views.filter((one) => one.eyeLevel).slice(0, WINDOWS);
    if (!overview) return [];
    const halfWay = this.figure(overview, `Half way up, at ${HALF_WAY}°`, { size: "half", angle: HALF_WAY });
    const seen = windows.map((one) => this.figure(one, `${one.word}, at the height of an eye, the mast standing`, { size: "half" }));
    return [
      element("h2", "", "What it looks like"),
      this.figure(overview, "The mast standing; the coloured ground is what a fall can reach"),
      element("div", "hm-sights", halfWay, ...seen),
    ];
  }

  private figure(view: ViewData, caption: string, aside: Aside = {}): HTMLElement {
    const image = element("img");
    image.src = drawAside(this.viewer, this.lettering, view, aside);
    image.alt = caption;
    return element("figure", "", image, element("figcaption", "", caption));
  }
}
