/** What a neighbour asks first, answered in words, each with the place to look at. */

import type { Brief, Finding } from "./data.ts";
import { button, element } from "./dom.ts";
import { statusSign } from "./status.ts";
import type { Viewer } from "./viewer.ts";

const SENDER = "whoever sent you this file";

export class InShort {
  readonly root = element("div", "hm-short");
  private readonly viewer: Viewer;
  private readonly go: (finding: Finding) => void;

  constructor(viewer: Viewer, go: (finding: Finding) => void) {
    this.viewer = viewer;
    this.go = go;
    viewer.on("data", () => this.fill());
    viewer.on("units", () => this.fill());
    this.fill();
  }

  /** The same for paper, which leads nowhere. */
  get onPaper(): HTMLElement {
    const made = this.root.cloneNode(true) as HTMLElement;
    for (const one of made.querySelectorAll(".hm-short-see")) one.remove();
    return made;
  }

  private fill(): void {
    const { brief } = this.viewer.data;
    this.root.replaceChildren(...(brief ? this.answers(brief) : []));
  }

  private answers(brief: Brief): Node[] {
    const { units } = this.viewer;
    const ask = brief.contact ?? SENDER;
    return [
      element("h3", "", "How high is it?"),
      element("p", "", element("b", "", brief.total[units]), ` from the ground to its highest point; the mast alone ${brief.mast[units]}.`),
      element("h3", "", "What if it falls?"),
      element("p", "", "While it is raised nobody may be in the circle around it, ", element("b", "", brief.reach[units]), " from its foot."),
      this.falls(brief),
      element("section", "hm-short-see", element("h3", "", "What will I see?"), ...this.windows()),
      element("h3", "", "When is it raised, and for how long?"),
      element("p", "", brief.when ?? `This file does not say; ask ${ask}.`),
      element("h3", "", "Whom can I ask?"),
      element("p", "", `${ask[0]?.toUpperCase()}${ask.slice(1)}.`),
      element("p", "hm-hint", "Worked out for the mast in one stiff piece on the ground as far as it is known; what breaks off can fly farther. A planning aid, not a stamped design."),
    ];
  }

  /** What a falling mast can reach, and what not. */
  private falls(brief: Brief): HTMLElement {
    const { findings } = this.viewer.data;
    const rows = brief.falls.flatMap(({ finding: k, text }) => {
      const finding = findings[k];
      if (!finding) return [];
      const name = finding.subject.replace(/^falling mast to /, "");
      const open = element("button", "hm-finding", element("span", "hm-subject", statusSign(finding.status), ` ${name}`), element("span", "hm-message", text[this.viewer.units]));
      open.type = "button";
      open.addEventListener("click", () => this.go(finding));
      return element("li", "", open);
    });
    if (rows.length === 0) return element("p", "", "Nothing that stands around is known to this file.");
    return element("ul", "hm-short-list", ...rows);
  }

  private windows(): Node[] {
    const views = this.viewer.data.views.filter((view) => view.eyeLevel);
    if (views.length === 0) return [element("p", "", "No window or gate is marked in this file; turn the scene to look from yours.")];
    const row = element("div", "hm-short-views", ...views.map((view) => button(view.word, () => this.viewer.showView(view.name))));
    return [row, element("p", "hm-hint", "At the height of a person's eye; Overview leads back.")];
  }
}
