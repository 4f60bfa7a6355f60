/** What a neighbour asks first, answered in words, each with the place to look at. */

import type { Answer, Brief, Finding, NearThing } from "./data.ts";
import { button, element } from "./dom.ts";
import { statusSign } from "./status.ts";
import { verdictInFull } from "./verdict.ts";
import type { Viewer } from "./viewer.ts";

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

  /** The answers for paper, which leads nowhere. */
  get onPaper(): HTMLElement {
    const made = this.root.cloneNode(true) as HTMLElement;
    // the panel may be closed, and its name is taken
    made.hidden = false;
    for (const name of ["id", "role", "aria-labelledby", "tabindex"]) made.removeAttribute(name);
    made.classList.remove("hm-panel");
    for (const one of made.querySelectorAll(".hm-said, .hm-never")) one.remove();
    const see = made.querySelector(".hm-short-see");
    see?.classList.replace("hm-short-see", "hm-answer");
    const choice = see?.querySelector(".hm-short-views");
    if (choice) see?.querySelector(".hm-lead")?.replaceChildren(FOLLOW);
    choice?.remove();
    return made;
  }

  private fill(): void {
    const { brief } = this.viewer.data;
    this.root.replaceChildren(...(brief ? this.parts(brief) : []));
  }

  private parts(brief: Brief): Node[] {
    const answers = brief.answers.map((one) => this.answer(one));
    return [verdictInFull(brief.verdict), ...answers, neverChecked(brief), element("p", "hm-hint", LAST)];
  }

  private answer(one: Answer): HTMLElement {
    const { units } = this.viewer;
    const seen = one.key === "see" ? this.windows() : [];
    const made = element("section", one.key === "see" ? "hm-short-see" : "hm-answer", element("h3", "", one.question));
    made.dataset["answer"] = one.key;
    made.append(element("p", "hm-lead", one.lead[units]), ...seen);
    if (one.things.length) made.append(element("ul", "hm-short-list", ...one.things.map((thing) => this.thing(thing))));
    made.append(...one.more.map((more) => element("p", "", more[units])));
    return made;
  }

  private thing(one: NearThing): HTMLElement {
    const finding = one.finding === null ? null : (this.viewer.data.findings[one.finding] ?? null);
    const sign = one.status ? [statusSign(one.status), " "] : [];
    const parts = [element("span", "hm-subject", ...sign, one.name), element("span", "hm-message", one.text[this.viewer.units])];
    if (!finding) return element("li", "", element("div", "hm-finding", ...parts));
    const open = element("button", "hm-finding", ...parts);
    open.type = "button";
    open.addEventListener("click", () => this.go(finding));
    return element("li", "", open);
  }

  private windows(): Node[] {
    const views = this.viewer.data.views.filter((view) => view.eyeLevel);
    if (views.length === 0) return [];
    return [element("div", "hm-short-views", ...views.map((view) => button(view.word, () => this.viewer.showView(view.name))))];
  }
}

const FOLLOW = "Pictures from these places follow.";
const LAST = "A planning aid, not a stamped design.";

/** What nobody looked at: what no check is there for, and what the file lacks. */
export function neverChecked(brief: Brief): HTMLElement {
  const made = element("section", "hm-never", element("h3", "", statusSign("not checked"), " Never checked by this page"));
  made.append(element("ul", "", ...brief.never.map((one) => element("li", "", one))));
  if (brief.unknown.length) {
    made.append(element("h3", "", statusSign("not checked"), " What this file does not know"));
    made.append(element("ul", "", ...brief.unknown.map((one) => element("li", "", one))));
  }
  return made;
}

/** Words of the trade, explained. */
export function glossary(brief: Brief): HTMLElement {
  const rows = brief.words.flatMap(({ word, means }) => [element("dt", "", word), element("dd", "", means)]);
  return element("dl", "hm-glossary", ...rows);
}
