/** The core: one scene that shows a data object, and can be given another one at any time. */

import { Vector2, Vector3 } from "three";
import type { Fact, PageData, Units, ViewData } from "./data.ts";
import { calm } from "./dom.ts";
import type { Ground } from "./ground.ts";
import { Hands } from "./hands.ts";
import type { Looks } from "./looks.ts";
import type { Angle, Rig } from "./rig.ts";
import { type Sign, Signs } from "./signs.ts";
import { Naming } from "./naming.ts";
import { Stage } from "./stage.ts";
import { type Covered, coveredShare, lifted, type Stand, standOf } from "./stand.ts";
import { Things } from "./things.ts";

export interface Change {
  angle: Angle;
  data: PageData;
  units: Units;
  view: string | null;
  groups: ReadonlySet<string>;
  firstRaise: boolean;
}

/** Groups that are shown in one view only. */
export const ONE_VIEW: readonly string[] = ["along", "cut", "across"];

/** Groups that are off until somebody, or a view, asks for them. */
export const ASKED_FOR = ["forces", "distances"];

type Ear<K extends keyof Change> = (value: Change[K]) => void;

export class Viewer {
  readonly stage: Stage;
  readonly hands: Hands;
  /** What is drawn of the data. */
  readonly things: Things;
  data: PageData;
  units: Units;
  view: ViewData | null = null;
  /** Groups that are hidden. */
  readonly hidden = new Set<string>(ASKED_FOR);
  /** Pixels at the edges of the drawing that something lies over. */
  covered: () => Covered = () => ({ top: 0, bottom: 0 });
  /** Further labels and marks, besides those of the layers. */
  readonly extras: (() => Iterable<Sign>)[] = [];
  /** What is named in a view, and in which words. */
  readonly naming = new Naming(this);
  /** Groups that a view has brought with it; they go when it does. */
  private readonly brought = new Set<string>();
  private chosen = false;
  private readonly signing = new Signs(this);
  private readonly ears = new Map<keyof Change, Ear<never>[]>();

  constructor(host: HTMLElement, data: PageData) {
    this.stage = new Stage(host);
    this.things = new Things(this.stage);
    this.hands = new Hands(this.stage, (eye, way) => {
      const offset = new Vector3(...this.data.around.offset);
      return this.ground.hit(eye.clone().sub(offset), way)?.add(offset) ?? null;
    });
    this.data = data;
    this.units = data.site.units;
    this.stage.eye.onMove = (turned) => {
      // a person's place stays one however the head is turned; a cut holds as long as it is seen
      // square on
      if (this.view && !this.view.eyeLevel && (turned || !this.view.clip)) this.leaveView();
    };
    this.things.build(data, this.units);
    this.leaveView();
    this.stage.resized = () => this.fitView();
    const first = data.views[0];
    if (first) this.showView(first.name, 0);
  }

  /** Show another data object; the camera, the angle and what is hidden stay. */
  setData(data: PageData): void {
    this.data = data;
    const { angle, firstRaise } = this.rig;
    this.things.build(data, this.units);
    this.leaveView();
    this.rig.firstRaise = firstRaise;
    this.setAngle(angle === "standing" ? angle : Math.max(angle, this.rig.first));
    this.tell("data", data);
  }

  /** Be told when something changes. */
  on<K extends keyof Change>(what: K, ear: Ear<K>): void {
    this.ears.set(what, [...(this.ears.get(what) ?? []), ear as Ear<never>]);
  }

  get ground(): Ground {
    return this.things.ground;
  }

  get rig(): Rig {
    return this.things.rig;
  }

  get looks(): Looks {
    return this.things.looks;
  }

  get angle(): Angle {
    return this.rig.angle;
  }

  /** As `setAngle`, by the user: views that ask for none keep it. */
  chooseAngle(angle: Angle): void {
    this.setAngle(angle);
    this.chosen = angle !== "standing";
  }

  setAngle(angle: Angle): void {
    const held = angle === "standing" ? angle : Math.min(90, Math.max(this.rig.first, angle));
    this.rig.set(held);
    this.stage.ask();
    this.tell("angle", held);
  }

  /** Show the first raise, without the head, at angles at which the head could be on too. */
  setFirstRaise(on: boolean): void {
    this.rig.firstRaise = on;
    this.rig.set(this.rig.angle);
    this.stage.ask();
    this.tell("firstRaise", on);
  }

  setUnits(units: Units): void {
    this.units = units;
    this.things.speak(units);
    this.stage.ask();
    this.tell("units", units);
  }

  /** Show or hide a group. */
  show(group: string, visible: boolean): void {
    this.brought.delete(group);
    if (visible) this.hidden.delete(group);
    else this.hidden.add(group);
    this.applyGroups();
    this.tell("groups", this.hidden);
  }

  /** Go to a named view; its own raising angle comes with it. */
  showView(name: string, seconds = 0.9, options: { keepAngle?: boolean } = {}): void {
    const view = this.data.views.find((one) => one.name === name);
    if (!view) return;
    const { eye, width, height } = this.stage;
    this.leaveView();
    if (!options.keepAngle) this.turnFor(view);
    this.view = view;
    this.bring(view.shows);
    this.tell("view", view.name); // what is said about a view covers some of its picture
    const stand = standOf(view, width / height, coveredShare(this.covered(), height));
    eye.fly(stand, calm() ? 0 : seconds, () => this.enterView(view));
  }

  /** Switch on what a view is about, and off what the one before it was about. */
  private bring(groups: readonly string[]): void {
    for (const group of this.brought) this.hidden.add(group);
    this.brought.clear();
    for (const group of groups) if (this.hidden.delete(group)) this.brought.add(group);
    this.applyGroups();
    this.tell("groups", this.hidden);
  }

  /** A named view is fitted anew when the drawing gets another shape, or is covered otherwise. */
  fitView(): void {
    const { eye, width, height } = this.stage;
    if (this.view) eye.fly(standOf(this.view, width / height, coveredShare(this.covered(), height)), 0);
  }

  /** A view brings its own angle; others leave one that the user has chosen as it is. */
  private turnFor(view: ViewData): void {
    if (view.shows.includes("forces") && this.angle !== "standing") return;
    if (view.angle !== null) this.setAngle(view.angle);
    else if (!this.chosen) this.setAngle("standing");
    if (view.angle !== null) this.chosen = false;
  }

  /** Go to a stand; at once where motion is not wanted. */
  fly(stand: Stand, seconds: number): void {
    this.stage.eye.fly(stand, calm() ? 0 : seconds);
  }

  /** The same stand with its target in the middle of what nothing lies over. */
  inTheClear(stand: Stand): Stand {
    return lifted(stand, coveredShare(this.covered(), this.stage.height));
  }

  /** The same camera, but no longer a named view: nothing is cut open. */
  leaveView(): void {
    if (this.view) {
      this.view = null;
      this.tell("view", null);
    }
    for (const plane of [this.stage.cut, this.stage.far]) {
      plane.normal.set(0, 0, 1);
      plane.constant = 1e6;
    }
    this.applyGroups();
  }

  /** Where a place is on the drawing, in pixels; null behind the eye. */
  pixel(place: Vector3): Vector2 | null {
    const { width, height, eye } = this.stage;
    const seen = place.clone().applyMatrix4(eye.camera.matrixWorldInverse);
    if (!eye.stand.flat && seen.z > -0.05) return null;
    const flat = place.clone().project(eye.camera);
    return new Vector2(((flat.x + 1) * width) / 2, ((1 - flat.y) * height) / 2);
  }

  /** A named point, such as "mast top", where it is now. */
  place(name: string): Vector3 | null {
    return this.rig.place(name);
  }

  /** Labels and marks that are to be drawn now, each where it is. */
  signs(): Generator<Sign> {
    return this.signing.now();
  }

  /** What is known of a thing by its group and name. */
  fact(group: string, name: string): Fact | null {
    return this.data.facts?.[`${group}/${name}`] ?? null;
  }

  isShown(group: string): boolean {
    if (ONE_VIEW.includes(group)) return this.view?.shows.includes(group) ?? false;
    return !this.hidden.has(group) && !this.view?.hides.includes(group);
  }

  private enterView(view: ViewData): void {
    if (this.view !== view) return;
    if (view.clip) {
      const [normal, at] = [new Vector3(...view.clip.normal), new Vector3(...view.clip.at)];
      this.stage.cut.setFromNormalAndCoplanarPoint(normal, at);
      at.addScaledVector(normal, view.clip.depth);
      this.stage.far.setFromNormalAndCoplanarPoint(normal.negate(), at);
    }
    this.applyGroups();
  }

  /** Show and hide what belongs to each group, as the view and the reader want it. */
  applyGroups(): void {
    const all = [...this.data.groups.map((one) => one.key), ...ONE_VIEW, "mast"];
    for (const group of all) {
      for (const drawn of this.things.all) drawn.show(group, this.isShown(group));
    }
    this.stage.ask();
  }

  private tell<K extends keyof Change>(what: K, value: Change[K]): void {
    for (const ear of this.ears.get(what) ?? []) (ear as Ear<K>)(value);
  }
}
