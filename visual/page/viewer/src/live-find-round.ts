/** Which way round: the bearings at the base as it stands, in the panel and on the ground. */

import { button, element } from "./dom.ts";
import type { Frame } from "./frame.ts";
import { Running } from "./live-find-form.ts";
import type { FinderLink } from "./live-find-link.ts";
import type { FoundMarks } from "./live-find-marks.ts";
import { RingCard } from "./live-find-ring.ts";
import { RoseView } from "./live-find-rose.ts";
import type { FinderState } from "./live-find-types.ts";
import type { LiveSession } from "./live-session.ts";
import type { LiveData, State } from "./live-types.ts";

const RING: [number, number] = [1.55, 1.95]; // of the distance of the front anchor

const ABOUT = "Every bearing of the front, with the base where it is. Press one and the front turns there.";
const OLD = "This was looked at for another place or rig. Look again.";

export class WayRound {
  readonly root = element("section", "hm-find-round");
  private readonly frame: Frame;
  private readonly session: LiveSession;
  private readonly link: FinderLink;
  private readonly marks: FoundMarks;
  private readonly rose: RoseView;
  private readonly running = new Running("Looking round", null);
  private readonly look = button("Try the bearings here", () => this.lookRound());
  private readonly old = element("p", "hm-find-old", OLD);
  private data: LiveData | null = null;
  private open = false;
  private waits = false;
  private asked = false;
  private shown = "";

  constructor(frame: Frame, session: LiveSession, link: FinderLink, marks: FoundMarks) {
    [this.frame, this.session, this.link, this.marks] = [frame, session, link, marks];
    this.rose = new RoseView({ over: (bearing) => marks.pointBearing(bearing), choose: (bearing) => this.turn(bearing) });
    new RingCard(frame.viewer, marks, (bearing) => this.turn(bearing));
    this.look.classList.add("hm-first-way");
    this.old.hidden = this.rose.root.hidden = true;
    this.root.append(element("p", "hm-hint", ABOUT), this.look, this.running.root, this.old, this.rose.root);
  }

  /** Look which bearings work, unless that is known or on its way. */
  search(): void {
    const rose = this.link.state?.rose;
    if (!rose || (!rose.running && (!rose.number || rose.old))) this.lookRound();
  }

  setOpen(open: boolean): void {
    this.open = open;
    this.drawRing();
    const rose = this.link.state?.rose;
    if (open && rose?.old && !rose.running) this.lookRound();
  }

  /** Tell that the front is another one than in the picture, or that it is not any more. */
  setWaits(waits: boolean): void {
    this.waits = waits;
    this.rose.setWaits(waits);
    this.drawRing();
  }

  /** Once somebody has looked, look again where the base has moved. */
  state(state: State): void {
    const rose = this.link.state?.rose;
    if (!this.asked || !this.open || state.busy || !rose?.old) return;
    if (!rose.running && state.answer?.whole) this.lookRound();
  }

  scene(data: LiveData): void {
    this.data = data;
    if (this.link.state) this.fill(this.link.state);
  }

  fill(state: FinderState): void {
    const { rose } = state;
    const live = this.data?.live;
    this.look.hidden = rose.running || (rose.found !== null && !rose.old);
    this.running.show(rose);
    this.look.textContent = rose.old ? "Look again" : "Try the bearings here";
    this.old.hidden = !rose.old || rose.running;
    this.rose.root.hidden = !rose.found || rose.old;
    const shown = `${rose.number}/${rose.old}/${live?.front}`;
    if (!rose.found || !live || shown === this.shown) return;
    this.shown = shown;
    this.rose.fill(rose.found, this.frame.viewer.data.roles, (live.front * 180) / Math.PI);
    this.drawRing();
  }

  private lookRound(): void {
    this.asked = true;
    void this.session.act("rose");
  }

  private turn(bearing: number): void {
    if (this.link.state?.rose.old) return;
    void this.session.act("edit", { values: { "mast.front": `${bearing}` } });
  }

  private drawRing(): void {
    const rose = this.link.state?.rose;
    const live = this.data?.live;
    if (!this.open || this.waits || !rose?.found || rose.old || !live) return this.marks.setRing(null);
    const ahead = live.anchors.find((one) => one.side === "front")?.at ?? [0, 10, 0];
    const far = Math.hypot(ahead[0], ahead[1]);
    const { roles } = this.frame.viewer.data;
    this.marks.setRing({ rose: rose.found, roles, inner: RING[0] * far, outer: RING[1] * far });
  }
}
