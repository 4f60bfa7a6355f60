/** Where else it works: the search, its colours on the ground, and the list of the best places. */

import { Vector3 } from "three";
import { element, tick } from "./dom.ts";
import type { Triple } from "./data.ts";
import type { Frame } from "./frame.ts";
import { SpotCard } from "./live-find-card.ts";
import { SearchForm } from "./live-find-form.ts";
import { FoundGround } from "./live-find-ground.ts";
import { Grid } from "./live-find-grid.ts";
import type { FinderLink } from "./live-find-link.ts";
import { PlaceList } from "./live-find-list.ts";
import type { FoundMarks } from "./live-find-marks.ts";
import type { FinderState, FoundPlace } from "./live-find-types.ts";
import type { LiveSession } from "./live-session.ts";
import type { LiveData } from "./live-types.ts";

const ABOUT =
  "The same mast, everywhere on the land and any way round. What works is ranked by what is left of its tightest limit.";
const OLD = "This was found for an earlier state: rig, ground or surroundings were changed since. Search again.";

const NEAREST = 15; // metres about the middle that are looked at in any case

export class Elsewhere {
  readonly root = element("section", "hm-find-where");
  /** The mast was stood on a place, and the picture is to come; the version that it comes with. */
  arrives: (version: number) => void = () => undefined;
  private readonly frame: Frame;
  private readonly session: LiveSession;
  private readonly link: FinderLink;
  private readonly marks: FoundMarks;
  private readonly ground: FoundGround;
  private readonly card: SpotCard;
  private readonly form: SearchForm;
  private readonly list: PlaceList;
  private readonly old = element("p", "hm-find-old", OLD);
  private readonly show: HTMLLabelElement;
  private data: LiveData | null = null;
  private grid: Grid | null = null;
  /** Where the ground lay in the frame in which the grid was told, and which ground it was. */
  private told: { offset: Triple; ground: string } = { offset: [0, 0, 0], ground: "" };
  private ticked = true;
  private open = true;
  private waits = false;
  private fetching = false;
  private flyOnce = false;

  constructor(frame: Frame, session: LiveSession, link: FinderLink, marks: FoundMarks, scene: HTMLElement) {
    const { viewer } = frame;
    [this.frame, this.session, this.link, this.marks] = [frame, session, link, marks];
    this.ground = new FoundGround(viewer);
    marks.choose = (place) => void this.stand({ rank: place.rank });
    const pointing = (): boolean => !frame.pointing.tip.hidden;
    this.card = new SpotCard(viewer, scene, pointing, (spot) => void this.stand({ row: spot.row, column: spot.column }));
    this.form = new SearchForm((body) => void this.begin(body), () => void session.act("search_stop"), viewer.units);
    this.list = new PlaceList({ over: (place) => marks.point(place), choose: (place) => this.choose(place) });
    this.show = tick("Colours on the ground", true, (on) => this.setTicked(on));
    viewer.on("units", (units) => {
      this.form.setUnits(units);
      this.fillList();
    });
    this.show.hidden = this.old.hidden = true;
    const about = element("p", "hm-hint hm-find-about", ABOUT);
    this.root.append(about, this.form.root, this.old, this.show, this.list.root);
  }

  /** Search, unless something current is there already, or on its way. */
  search(): void {
    const search = this.link.state?.search;
    if (!search || (!search.running && (!search.number || search.old))) this.form.search();
  }

  setOpen(open: boolean): void {
    this.open = open;
    this.draw();
  }

  /** Tell that the mast stands elsewhere than in the picture, or that it does not any more. */
  setWaits(waits: boolean): void {
    if (waits === this.waits) return;
    this.waits = waits;
    this.fillList();
  }

  scene(data: LiveData): void {
    this.data = data;
    this.ground.follow();
    this.marks.moveTo(this.moved());
    this.draw();
    if (this.grid && !this.isTold) void this.fetch();
    else this.fillList();
  }

  fill(state: FinderState): void {
    this.form.show(state.search, state.elsewhere);
    this.root.classList.toggle("hm-find-known", state.search.number > 0);
    this.old.hidden = !state.search.old;
    this.list.root.inert = state.search.old;
    this.list.root.classList.toggle("hm-find-pale", state.search.old);
    const newest = state.search.running ? 0 : state.search.number;
    if (newest && newest !== this.grid?.found.number) void this.fetch();
    else this.draw();
  }

  private setTicked(on: boolean): void {
    this.ticked = on;
    this.draw();
  }

  private async begin(body: Record<string, unknown>): Promise<void> {
    this.flyOnce = true;
    await this.session.act("search", body);
  }

  private choose(place: FoundPlace): void {
    void this.stand({ rank: place.rank });
  }

  private async stand(where: Record<string, number>): Promise<void> {
    if (!this.grid || this.link.state?.search.old) return;
    this.card.hide();
    this.marks.point(null);
    const done = await this.session.act("stand", { search: this.grid.found.number, ...where });
    if (done) this.arrives(this.session.version);
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
    if (this.grid && !this.isTold) void this.fetch(); // the ground was another one meanwhile
  }

  private fillList(): void {
    const { viewer } = this.frame;
    const moved = this.moved();
    this.list.fill(this.grid, {
      from: (place) => [place.at[0] + moved[0], place.at[1] + moved[1]],
      front: ((this.data?.live.front ?? 0) * 180) / Math.PI,
      units: viewer.units,
      known: !this.waits && this.isTold,
    });
  }

  /** Put on the ground what holds for the site as it is; what is old is not shown there at all. */
  private draw(): void {
    const old = this.link.state?.search.old ?? true;
    const grid = this.ticked && this.open && !old && this.isTold ? this.grid : null;
    this.show.hidden = !this.grid || old;
    const drawn = grid ? { grid, offset: this.told.offset } : null;
    if (drawn?.grid === this.card.shown?.grid && drawn?.offset === this.card.shown?.offset) return;
    this.card.shown = drawn;
    this.ground.show(grid, this.told.offset);
    this.marks.setPlaces(grid?.found.places ?? [], this.moved());
  }

  /** Whether the grid was told for the ground that is shown. */
  private get isTold(): boolean {
    return this.told.ground === this.data?.around.ground.key;
  }

  /** From the frame of the grid to the frame that is shown. */
  private moved(): Triple {
    const now = this.data?.around.offset ?? [0, 0, 0];
    return [0, 1, 2].map((k) => (now[k] ?? 0) - (this.told.offset[k] ?? 0)) as Triple;
  }

  /** Look at all of the land that is not lost. */
  private flyOver(grid: Grid): void {
    const { viewer } = this.frame;
    const { stage } = viewer;
    const moved = this.moved();
    const [first, last] = grid.extent();
    const [a, b] = [grid.at(...first), grid.at(...last)];
    const middle = new Vector3((a[0] + b[0]) / 2 + moved[0], (a[1] + b[1]) / 2 + moved[1], 0);
    const half = Math.max(NEAREST, 0.5 * Math.hypot(b[0] - a[0], b[1] - a[1]));
    const opening = (28 * Math.PI) / 180;
    const narrow = Math.min(1, stage.width / stage.height);
    const stand = { target: middle, bearing: Math.PI, height: 0.95, fieldOfView: opening, flat: false, rise: 0, standing: false };
    viewer.leaveView();
    viewer.fly(viewer.inTheClear({ ...stand, distance: (0.95 * half) / Math.tan(opening / 2) / narrow }), 0.9);
  }
}
