/** Where else does it work, and which way round: the panel with its two parts. */

import { button, element } from "./dom.ts";
import type { Frame } from "./frame.ts";
import { FinderLink } from "./live-find-link.ts";
import { FoundMarks } from "./live-find-marks.ts";
import { WayRound } from "./live-find-round.ts";
import type { FinderState } from "./live-find-types.ts";
import { Elsewhere } from "./live-find-where.ts";
import type { LiveSession } from "./live-session.ts";
import type { LiveData, State } from "./live-types.ts";

type Part = "where" | "round";

const PARTS: [Part, string][] = [["where", "Where else does it work?"], ["round", "Which way round here?"]];

export class Finder {
  readonly root = element("div", "hm-find");
  private readonly frame: Frame;
  private readonly session: LiveSession;
  private readonly link: FinderLink;
  private readonly where: Elsewhere;
  private readonly round: WayRound;
  private readonly parts = element("div", "hm-find-parts");
  /** The version whose picture is to be shown from the first view. */
  private arrive = 0;
  private prepared = false;

  constructor(frame: Frame, session: LiveSession, scene: HTMLElement) {
    [this.frame, this.session] = [frame, session];
    this.link = new FinderLink(session, (state) => this.fill(state));
    const marks = new FoundMarks(frame.viewer, frame.lettering);
    this.where = new Elsewhere(frame, session, this.link, marks, scene);
    this.where.arrives = (version) => (this.arrive = version);
    this.round = new WayRound(frame, session, this.link, marks);
    for (const [part, word] of PARTS) {
      const one = button(word, () => this.choosePart(part));
      one.dataset["part"] = part;
      this.parts.append(one);
    }
    this.root.append(this.parts, this.where.root, this.round.root);
    this.choosePart("where");
  }

  state(state: State): void {
    this.link.follow(state);
    this.round.state(state);
  }

  scene(data: LiveData): void {
    this.where.scene(data);
    this.round.scene(data);
    if (!this.arrive || data.live.version < this.arrive) return;
    this.arrive = 0;
    const first = data.views[0];
    if (first) this.frame.viewer.showView(first.name);
  }

  /** Tell that the mast stands, or is turned, otherwise than in the picture; or that it is not. */
  setWaits(waits: boolean): void {
    this.where.setWaits(waits);
    this.round.setWaits(waits);
  }

  /** Let what searches get ready while the user still reads. */
  prepare(): void {
    if (this.prepared) return;
    this.prepared = true;
    void this.session.act("prepare");
  }

  /** Open the panel and search, unless something current is there already. */
  elsewhere(): void {
    this.frame.open("find");
    this.where.search();
    this.choosePart("where");
  }

  /** Open the panel and look which bearings work. */
  bearings(): void {
    this.frame.open("find");
    this.round.search();
    this.choosePart("round");
  }

  private choosePart(part: Part): void {
    for (const one of this.parts.children) one.setAttribute("aria-pressed", `${(one as HTMLElement).dataset["part"] === part}`);
    this.where.root.hidden = part !== "where";
    this.round.root.hidden = part !== "round";
    this.where.setOpen(part === "where");
    this.round.setOpen(part === "round");
  }

  private fill(state: FinderState): void {
    this.where.fill(state);
    this.round.fill(state);
  }
}
