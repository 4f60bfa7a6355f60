/** Where else does it work, and which way round: the panel, and what it shows on the ground. */

import { Vector3 } from "three";
import { button, element, tick } from "./dom.ts";
import type { Triple } from "./data.ts";
import type { Frame } from "./frame.ts";
import { SpotCard } from "./live-find-card.ts";
import { Running, SearchForm } from "./live-find-form.ts";
import { FoundGround } from "./live-find-ground.ts";
import { Grid } from "./live-find-grid.ts";
import { FinderLink } from "./live-find-link.ts";
import { PlaceList } from "./live-find-list.ts";
import { FoundMarks } from "./live-find-marks.ts";
import { RoseView } from "./live-find-rose.ts";
import type { FinderState, FoundPlace } from "./live-find-types.ts";
import type { LiveSession } from "./live-session.ts";
import type { LiveData, State } from "./live-types.ts";

const RING: [number, number] = [1.55, 1.95]; // of the distance of the front anchor

type Part = "where" | "round";

const PARTS: [Part, string][] = [["where", "Where else does it work?"], ["round", "Which way round here?"]];

const OLD_SEARCH = "This was found for an earlier state: rig, ground or surroundings were changed since. Search again.";
const OLD_ROSE = "This was looked at for another place or rig. Look again.";

export class Finder {
  readonly root = element("div", "hm-find");
  private readonly frame: Frame;
  private readonly session: LiveSession;
  private readonly link: FinderLink;
  private readonly ground: FoundGround;
  private readonly marks: FoundMarks;
  private readonly card: SpotCard;
  private readonly form: SearchForm;
  private readonly list: PlaceList;
  private readonly rose: RoseView;
  private readonly roseRuns = new Running("Looking round", null);
  private readonly look = button("Try the bearings here", () => this.lookRound());
  private readonly oldSearch = element("p", "hm-find-old", OLD_SEARCH);
  private readonly oldRose = element("p", "hm-find-old", OLD_ROSE);
  private readonly show: HTMLLabelElement;
  private readonly parts = element("div", "hm-find-parts");
  private data: LiveData | null = null;
  private grid: Grid | null = null;
  /** Where the ground lay in the frame in which the grid was told, and which ground it was. */
  private told: { offset: Triple; ground: string } = { offset: [0, 0, 0], ground: "" };
  private shown = true;
  private roseNumber = "";
  private fetching = false;
  private flyOnce = false;
  private arrive = 0;
  private again = false;
  private prepared = false;
  private part: Part = "where";

  constructor(frame: Frame, session: LiveSession, scene: HTMLElement) {
    const { viewer } = frame;
    [this.frame, this.session] = [frame, session];
    this.link = new FinderLink(session, (state) => this.fill(state));
    this.ground = new FoundGround(viewer);
    this.marks = new FoundMarks(viewer);
    this.marks.choose = (place) => this.choose(place);
    const pointing = (): boolean => !frame.pointing.tip.hidden;
    this.card = new SpotCard(viewer, scene, pointing, (spot) => void this.stand({ row: spot.row, column: spot.column }));
    this.form = new SearchForm((body) => void this.begin(body), () => void session.act("search_stop"), viewer.units);
    this.list = new PlaceList({ over: (place) => this.marks.point(place), choose: (place) => this.choose(place) });
    this.rose = new RoseView({ over: (bearing) => this.marks.pointBearing(bearing), choose: (bearing) => this.turn(bearing) });
    this.show = tick("Colours on the ground", true, (on) => this.setShown(on));
    viewer.on("units", (units) => {
      this.form.setUnits(units);
      this.fillList();
    });
    this.build();
  }

  state(state: State): void {
    this.link.follow(state);
    if (!this.again || this.part !== "round" || state.busy || !this.link.state?.rose.old) return;
    if (!this.link.state.rose.running && state.answer?.whole) this.lookRound();
  }

  scene(data: LiveData): void {
    this.data = data;
    this.ground.follow();
    this.marks.moveTo(this.moved());
    if (this.grid && this.told.ground !== data.around.ground.key) void this.fetch();
    else this.fillList();
    if (this.arrive && data.live.version >= this.arrive) {
      this.arrive = 0;
      const first = data.views[0];
      if (first) this.frame.viewer.showView(first.name);
    }
    if (this.link.state) this.fillRose(this.link.state);
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
    const search = this.link.state?.search;
    if (!search || (!search.running && (!search.number || search.old))) this.form.search();
    this.choosePart("where");
  }

  /** Open the panel and look which bearings work. */
  bearings(): void {
    this.frame.open("find");
    const rose = this.link.state?.rose;
    if (!rose || (!rose.running && (!rose.number || rose.old))) this.lookRound();
    this.choosePart("round");
  }

  private build(): void {
    this.look.classList.add("hm-first-way");
    for (const [part, word] of PARTS) {
      const one = button(word, () => this.choosePart(part));
      one.dataset["part"] = part;
      this.parts.append(one);
    }
    this.root.append(
      this.parts,
      element(
        "section",
        "hm-find-where",
        element("p", "hm-hint hm-find-about", "The same mast, everywhere on the land and any way round. What works is ranked by what is left of its tightest limit."),
        this.form.root,
        this.oldSearch,
        this.show,
        this.list.root,
      ),
      element(
        "section",
        "hm-find-round",
        element("p", "hm-hint", "Every bearing of the front, with the base where it is. Press one and the front turns there."),
        this.look,
        this.roseRuns.root,
        this.oldRose,
        this.rose.root,
      ),
    );
    this.show.hidden = this.oldSearch.hidden = this.oldRose.hidden = this.rose.root.hidden = true;
    this.choosePart("where");
  }

  private choosePart(part: Part): void {
    this.part = part;
    for (const one of this.parts.children) one.setAttribute("aria-pressed", `${(one as HTMLElement).dataset["part"] === part}`);
    for (const one of this.root.querySelectorAll<HTMLElement>("section")) one.hidden = !one.classList.contains(`hm-find-${part}`);
    this.draw();
    this.drawRing();
    if (part === "round" && this.link.state?.rose.old && !this.link.state.rose.running) this.lookRound();
  }

  private async begin(body: Record<string, unknown>): Promise<void> {
    this.flyOnce = true;
    await this.session.act("search", body);
  }

  private lookRound(): void {
    this.again = true;
    void this.session.act("rose");
  }

  private choose(place: FoundPlace): void {
    void this.stand({ rank: place.rank });
  }

  private async stand(where: Record<string, number>): Promise<void> {
    if (!this.grid || this.link.state?.search.old) return;
    this.card.hide();
    this.marks.point(null);
    if (await this.session.act("stand", { search: this.grid.found.number, ...where })) this.arrive = this.session.version;
  }

  private turn(bearing: number): void {
    if (this.link.state?.rose.old) return;
    void this.session.act("edit", { values: { "mast.front": `${bearing}` } });
  }

  private setShown(on: boolean): void {
    this.shown = on;
    this.draw();
  }

  private fill(state: FinderState): void {
    this.form.show(state.search, state.elsewhere);
    this.root.classList.toggle("hm-find-known", state.search.number > 0);
    this.oldSearch.hidden = !state.search.old;
    this.list.root.inert = state.search.old;
    this.list.root.classList.toggle("hm-find-pale", state.search.old);
    this.fillRose(state);
    const newest = state.search.running ? 0 : state.search.number;
    if (newest && newest !== this.grid?.found.number) void this.fetch();
    else this.draw();
  }

  private async fetch(): Promise<void> {
    const { data } = this;
    if (this.fetching || !data) return;
    this.fetching = true;
    try {
      const found = await this.link.found(data.live.version);
      this.grid = found && new Grid(found);
      this.told = { offset: data.around.offset, ground: data.around.ground.key };
    } catch {
      this.grid = null; // asked again with the next scene
    }
    this.fetching = false;
    this.draw();
    this.fillList();
    if (this.flyOnce && this.grid) this.flyOver(this.grid);
    this.flyOnce = false;
  }

  private fillList(): void {
    const { viewer } = this.frame;
    const moved = this.moved();
    this.list.fill(this.grid, {
      from: (place) => [place.at[0] + moved[0], place.at[1] + moved[1]],
      front: ((this.data?.live.front ?? 0) * 180) / Math.PI,
      units: viewer.units,
    });
  }

  /** Put on the ground what holds for the site as it is; what is old is not shown there at all. */
  private draw(): void {
    const old = this.link.state?.search.old ?? true;
    const grid = this.shown && this.part === "where" && !old ? this.grid : null;
    this.show.hidden = !this.grid || old;
    const drawn = grid ? { grid, offset: this.told.offset } : null;
    if (drawn?.grid !== this.card.shown?.grid || drawn?.offset !== this.card.shown?.offset) {
      this.card.shown = drawn;
      this.ground.show(grid, this.told.offset);
      this.marks.setPlaces(grid?.found.places ?? [], this.moved());
    }
  }

  private fillRose(state: FinderState): void {
    const { rose } = state;
    const live = this.data?.live;
    this.look.hidden = rose.running || (rose.found !== null && !rose.old);
    this.roseRuns.show(rose);
    this.look.textContent = rose.old ? "Look again" : "Try the bearings here";
    this.oldRose.hidden = !rose.old || rose.running;
    this.rose.root.hidden = !rose.found || rose.old;
    if (!rose.found || !live) return;
    const number = `${rose.number}/${rose.old}/${live.front}`;
    if (number === this.roseNumber) return;
    this.roseNumber = number;
    const roles = this.frame.viewer.data.roles;
    this.rose.fill(rose.found, roles, (live.front * 180) / Math.PI);
    this.drawRing();
  }

  private drawRing(): void {
    const rose = this.link.state?.rose;
    const live = this.data?.live;
    if (this.part !== "round" || !rose?.found || rose.old || !live) return this.marks.setRing(null);
    const ahead = live.anchors.find((one) => one.side === "front")?.at ?? [0, 10, 0];
    const far = Math.hypot(ahead[0], ahead[1]);
    const { roles } = this.frame.viewer.data;
    this.marks.setRing({ rose: rose.found, roles, inner: RING[0] * far, outer: RING[1] * far });
  }

  /** From the frame of the grid to the frame that is shown. */
  private moved(): Triple {
    const now = this.data?.around.offset ?? [0, 0, 0];
    return [0, 1, 2].map((k) => (now[k] ?? 0) - (this.told.offset[k] ?? 0)) as Triple;
  }

  /** Look at all of the land that was searched. */
  private flyOver(grid: Grid): void {
    const { stage } = this.frame.viewer;
    const moved = this.moved();
    const [a, b] = [grid.at(0, 0), grid.at(grid.rows, grid.columns)];
    const middle = new Vector3((a[0] + b[0]) / 2 + moved[0], (a[1] + b[1]) / 2 + moved[1], 0);
    const half = 0.5 * Math.hypot(b[0] - a[0], b[1] - a[1]);
    const opening = (28 * Math.PI) / 180;
    const narrow = Math.min(1, stage.width / stage.height);
    const stand = { target: middle, bearing: Math.PI, height: 0.95, fieldOfView: opening, flat: false, rise: 0, standing: false };
    this.frame.viewer.leaveView();
    this.frame.viewer.fly({ ...stand, distance: (0.95 * half) / Math.tan(opening / 2) / narrow }, 0.9);
  }
}
