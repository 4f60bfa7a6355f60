/** The page around the scene: head, views, panels at the side, the raise below, and paper. */

import { Apart } from "./apart.ts";
import { Approaches } from "./approaches.ts";
import { Crew } from "./crew.ts";
import { button, element } from "./dom.ts";
import type { PageData } from "./data.ts";
import { InHand } from "./in-hand.ts";
import { glossary, InShort } from "./brief.ts";
import { Findings } from "./findings.ts";
import { Forces } from "./forces.ts";
import { Lettering } from "./lettering.ts";
import { Paper } from "./paper.ts";
import { snapshot } from "./paper-picture.ts";
import { Pointing } from "./pointing.ts";
import { RaiseSlider } from "./raise.ts";
import { Show, unitsChoice, viewButtons } from "./show.ts";
import { Tape } from "./tape.ts";
import { badgeParts } from "./verdict.ts";
import { Viewer } from "./viewer.ts";

export interface Panel {
  key: string;
  title: string;
  body: HTMLElement;
}

export class Frame {
  readonly root = element("div", "hm-page");
  readonly viewer: Viewer;
  readonly lettering: Lettering;
  readonly pointing: Pointing;
  readonly findings: Findings;
  readonly approaches: Approaches;
  readonly apart: Apart;
  readonly forces: Forces;
  readonly show: Show;
  readonly tape: Tape;
  readonly raise: RaiseSlider;
  /** Told which panel is open now. */
  private readonly opened = (key: string | null): void => {
    // with no panel open the whole scene is there to pick points in
    if (key !== "tape" && !(key === null && this.tape.on)) this.tape.leave();
  };
  private readonly scrolled = new Map<string, number>();
  private short: InShort | null = null;
  private readonly tabs = element("div", "hm-tabs");
  private readonly panels = element("div", "hm-panels");
  private readonly tools = element("div", "hm-tools");
  private readonly controls: HTMLElement[];
  private readonly stamp = element("p", "hm-stamp");
  private readonly head = element("header", "hm-head");
  private readonly paper: Paper;

  constructor(host: HTMLElement, data: PageData) {
    const scene = element("main", "hm-scene");
    scene.setAttribute("aria-label", "The site in three dimensions");
    const side = element("aside", "hm-side", this.tabs, this.panels);
    // on a phone a panel covers the raise: what closes it must be seen
    side.append(button("Close", () => this.open(null), "hm-button hm-close"));
    host.append(this.root);
    this.root.append(this.head, scene, side);
    this.viewer = new Viewer(scene, data);
    this.controls = [viewButtons(this.viewer), unitsChoice(this.viewer)];
    this.lettering = new Lettering(this.viewer, scene);
    this.approaches = new Approaches(this.viewer, this.lettering, () => this.findings.marked);
    this.forces = new Forces(this.viewer, this.lettering, scene);
    new InHand(this.viewer);
    this.apart = new Apart(this.viewer, this.lettering);
    this.findings = new Findings(this.viewer, this.lettering);
    this.findings.apart = (one, seconds) => this.apart.showFinding(one, seconds);
    this.tape = new Tape(this.viewer, this.lettering);
    this.pointing = new Pointing(this.viewer, scene);
    this.findings.cleared = () => this.apart.clear();
    this.pointing.picked = ({ group, name }) => this.pick(`${group}/${name}`);
    this.show = new Show(this.viewer, this.lettering);
    this.pointing.isBusy = () => this.tape.on;
    this.raise = new RaiseSlider(this.viewer);
    this.raise.began = () => this.pointing.hide();
    this.paper = new Paper(this.viewer, this.lettering, () => this.short, () => saidOf(this.viewer));
    this.root.append(this.raise.root, this.paper.root);
    // what is said about the forces stands under what is said about the page
    new ResizeObserver(() => scene.style.setProperty("--stamp", `${this.stamp.offsetHeight}px`)).observe(this.stamp);
    this.viewer.covered = () => ({ top: this.stamp.offsetHeight, bottom: 0 });
    this.furnish(scene);
    this.viewer.fitView();
  }

  /** What is picked in the scene takes the place of a finding that was marked. */
  private pick(key: string): void {
    if (!this.apart.known(key)) return;
    this.findings.clear();
    this.apart.show(key);
  }

  /** Add a panel with its tab. */
  addPanel(panel: Panel): void {
    const { key, title, body } = panel;
    const tab = element("button", "hm-tab", title);
    tab.type = "button";
    tab.id = `hm-tab-${key}`;
    tab.setAttribute("role", "tab");
    tab.setAttribute("aria-controls", `hm-panel-${key}`);
    tab.addEventListener("click", () => this.open(this.isOpen(key) && this.isNarrow() ? null : key));
    body.id = `hm-panel-${key}`;
    body.classList.add("hm-panel");
    body.setAttribute("role", "tabpanel");
    body.setAttribute("aria-labelledby", tab.id);
    body.tabIndex = -1;
    body.hidden = true;
    this.tabs.append(tab);
    this.panels.append(body);
  }

  /** Add a button to the row of tools. */
  addTool(tool: { key: string; word: string; press: () => void }): HTMLButtonElement {
    const made = button(tool.word, tool.press, "hm-tool");
    made.dataset["tool"] = tool.key;
    this.tools.append(made);
    return made;
  }

  /** Open a panel, or none; each opens where it was left, at first at its top. */
  open(key: string | null): void {
    const left = [...this.panels.children].find((body) => !(body as HTMLElement).hidden);
    if (left) this.scrolled.set(left.id, this.panels.scrollTop);
    for (const body of this.panels.children) (body as HTMLElement).hidden = body.id !== `hm-panel-${key}`;
    for (const tab of this.tabs.children) {
      const chosen = tab.id === `hm-tab-${key}`;
      tab.setAttribute("aria-selected", `${chosen}`);
      (tab as HTMLElement).tabIndex = chosen || key === null ? 0 : -1;
    }
    this.root.classList.toggle("hm-is-open", key !== null);
    this.panels.scrollTop = this.scrolled.get(`hm-panel-${key}`) ?? 0;
    this.opened(key);
  }

  private isOpen(key: string): boolean {
    return this.panels.querySelector<HTMLElement>(`#hm-panel-${key}`)?.hidden === false;
  }

  private isNarrow(): boolean {
    return matchMedia(NARROW).matches;
  }

  private furnish(scene: HTMLElement): void {
    this.tabs.setAttribute("role", "tablist");
    this.tabs.setAttribute("aria-label", "Panels");
    this.tabs.addEventListener("keydown", (event) => this.tabKey(event));
    scene.append(this.stamp, firstHint(this.root));
    // somebody who was sent a page wants answers first, and all findings after them
    if (this.viewer.data.brief) this.short = new InShort(this.viewer, (one) => this.findings.show(one));
    if (this.short) this.addPanel({ key: "short", title: "In short", body: this.short.root });
    this.addPanel({ key: "findings", title: "Findings", body: this.findings.root });
    if (this.viewer.data.paper) this.addPanel({ key: "crew", title: "Crew", body: new Crew(this.viewer).root });
    this.addPanel({ key: "show", title: "Show", body: this.show.root });
    this.addPanel({ key: "tape", title: "Tape", body: this.tape.root });
    this.addPanel({ key: "read", title: "Read first", body: this.about() });
    for (const fill of [() => this.fillHead(), () => this.fillStamp()]) {
      this.viewer.on("data", fill);
      fill();
    }
    this.viewer.on("view", () => this.fillStamp());
    this.viewer.on("units", () => this.fillStamp());
    this.viewer.on("angle", () => this.viewer.view?.eyeLevel && this.fillStamp());
    this.open(this.short ? "short" : this.isNarrow() ? null : "findings");
  }

  private tabKey(event: KeyboardEvent): void {
    const tabs = [...this.tabs.children] as HTMLElement[];
    const way = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    const now = tabs.indexOf(document.activeElement as HTMLElement);
    if (!way || now < 0) return;
    const next = tabs[(now + way + tabs.length) % tabs.length];
    next?.focus();
    next?.click();
    event.preventDefault();
  }

  private fillHead(): void {
    const { site } = this.viewer.data;
    const title = element("h1", "hm-title", site.name);
    const press = (): void => this.open(this.short ? "short" : "findings");
    const badge = element("button", "hm-verdict", ...badgeParts(this.viewer.data));
    badge.type = "button";
    badge.addEventListener("click", () => {
      press();
      this.panels.scrollTop = 0; // the verdict stands at the top, wherever it was read on from
    });
    if (this.tools.childElementCount === 0) this.addTool({ key: "print", word: "Print", press: () => print() });
    this.head.replaceChildren(title, badge, ...this.controls, this.tools);
  }

  private fillStamp(): void {
    const { site } = this.viewer.data;
    const { view } = this.viewer;
    const said = this.viewer.naming.seenOfMast;
    const hidden = said ? ` The mast is ${said.replace(" from here", "")}.` : "";
    const behind = view?.leftOut?.map((one) => one.text[this.viewer.units]).join(", ");
    const seen = behind ? `Not drawn, as it stands too far away: ${behind}.` : view?.eyeLevel ? `Seen from ${view.word.replace(/^From /, "")}.${hidden}` : "";
    this.stamp.replaceChildren("Planning aid, not a stamped design. ", `${saidOf(this.viewer).standing} `, element("span", "", site.date), ` ${seen}`);
  }

  private about(): HTMLElement {
    const body = element("div", "hm-about");
    const fill = (): void => {
      const { site, brief } = this.viewer.data;
      const said = saidOf(this.viewer);
      body.replaceChildren(
        element("h3", "", "Before anything is raised"),
        element("ul", "", ...site.cautions.map((one) => element("li", "", one))),
        element("h3", "", "How to look around"),
        element("ul", "", ...HOW.map((one) => element("li", "", one))),
        ...(brief ? [element("h3", "", "What the words mean"), glossary(brief)] : []),
        element("p", "hm-hint", [said.standing, site.date, ...said.notes, site.program].filter(Boolean).join(" · ")),
        element("p", "hm-hint", "Planning aid, not a stamped design. This file asks the network for nothing."),
        button("Print", () => print()),
      );
    };
    this.viewer.on("data", fill);
    this.viewer.on("units", fill);
    fill();
    return body;
  }

  /** Put everything on paper. */
  toPaper(): void {
    this.paper.fill();
  }

  /** The scene with its lettering as a picture. */
  snapshot(): string {
    return snapshot(this.viewer, this.lettering);
  }
}

/** A phone held upright: one thing above the other. As in the style. */
const NARROW = "(max-width: 560px), (max-width: 820px) and (orientation: portrait)";

const HOW = [
  "Drag to turn; two fingers, or drag with the right button or Shift, to move; wheel or pinch to come nearer.",
  "With the keyboard: arrow keys turn, Shift and arrow keys move, + and − come nearer and go away.",
  "Slide along the chart to raise the mast: it moves exactly as worked out. Arrow keys go half a degree.",
  "Rest on, or tap, a wire, a building, a line: its name and numbers.",
  "Choose a finding to go to its place, with the mast at its angle.",
];

/** One line for somebody who sees such a page for the first time; the first touch takes it away. */
function firstHint(root: HTMLElement): HTMLElement {
  const hint = element("p", "hm-first", "Drag to look around. Slide along the chart to raise the mast.");
  const gone = (): void => hint.remove();
  for (const what of ["pointerdown", "keydown", "wheel"]) root.addEventListener(what, gone, { once: true, passive: true });
  return hint;
}

/** How sure the numbers are, and what must be known to read the scene, in the reader's units. */
function saidOf(viewer: Viewer): { standing: string; notes: string[] } {
  const { site } = viewer.data;
  return viewer.units === site.units ? site : site.other;
}
