/** The live view of one site: the page's frame, with handles, fields, numbers and a bar of its own. */

import { Vector3 } from "three";
import { element } from "./dom.ts";
import { Frame } from "./frame.ts";
import { type Refused, sentence } from "./live-api.ts";
import { Bar } from "./live-bar.ts";
import { Change } from "./live-change.ts";
import { ask, type Wrong, wrongOf } from "./live-dialog.ts";
import { Fields } from "./live-fields.ts";
import { Finder } from "./live-finder.ts";
import { Glance } from "./live-glance.ts";
import { HandleSet } from "./live-handles.ts";
import { Make } from "./live-make.ts";
import { News } from "./live-news.ts";
import { oldParts } from "./live-old.ts";
import { giveWord } from "./live-words.ts";
import { keepUnits, keptUnits, type LiveSession } from "./live-session.ts";
import type { LiveData, State } from "./live-types.ts";

/** Panels of the live view, before those that every page has. */
const OWN = ["change", "find", "fields", "make"];

const UNDRAWN =
  "This browser does not draw the scene: it has no WebGL 2. Switch on hardware acceleration in its settings, or use " +
  "another browser. Numbers and fields work here all the same.";

export class Live {
  frame: Frame | null = null;
  handles: HandleSet | null = null;
  private readonly host: HTMLElement;
  private session!: LiveSession;
  private readonly change = new Change();
  private readonly fields: Fields;
  private readonly bar: Bar;
  private readonly news: News;
  private readonly glance: Glance;
  private readonly waiting = element("p", "hm-live-waiting", "Working out the site …");
  private readonly behind = element("p", "hm-live-behind", "Of the state before; the new one is on its way …");
  private finder: Finder | null = null;
  private make: Make | null = null;
  private data: LiveData | null = null;
  /** The browser cannot draw. */
  private undrawn = false;

  constructor(host: HTMLElement, leave: () => void) {
    this.host = host;
    this.fields = new Fields(
      (values) => this.session.act("edit", { values }),
      (changes) => void this.session.act("tables", { changes }),
    );
    this.glance = new Glance({
      place: () => this.finder?.elsewhere(),
      bearing: () => this.finder?.bearings(),
      rig: () => this.frame?.open("fields"),
      findings: () => this.frame?.open("findings"),
    });
    this.bar = new Bar({
      act: (name) => void this.session.act(name),
      saveAs: () => this.saveAs(),
      make: () => this.frame?.open("make"),
      sites: leave,
      keepLevel: () => this.keepLevel(),
    });
    this.news = new News(this.fields, (name) => void this.session.act(name));
    host.replaceChildren(this.waiting);
  }

  begin(session: LiveSession): void {
    this.session = session;
    session.units = keptUnits();
  }

  state(state: State): void {
    document.title = `${state.dirty ? "• " : ""}${state.folder}/${state.file} – Hillmast`;
    this.fields.fill(state.fields);
    this.news.tell(state);
    this.finder?.state(state);
    if (state.answer?.counts.stop) this.finder?.prepare();
    if (state.doing) this.waiting.textContent = `One moment: ${state.doing} …`;
    if (!state.answer && state.problems.length) this.waiting.textContent = state.problems.map(sentence).join(" ");
    this.renew();
  }

  /** An edit of this tab was taken: what is shown is old from now on. */
  sent(): void {
    this.renew();
  }

  scene(data: LiveData): void {
    const before = this.data;
    this.data = data;
    if (this.frame) this.redraw(this.frame, data, before);
    else if (!this.undrawn) this.tryToOpen(data);
    this.handles?.show(data);
    this.finder?.scene(data);
    this.renew();
  }

  /** Show another scene from the same place of the ground; a fuller one of the same state in its view. */
  private redraw({ viewer }: Frame, data: LiveData, before: LiveData | null): void {
    const [from, to] = [before?.around.offset ?? [0, 0, 0], data.around.offset].map((at) => new Vector3(...at)) as [Vector3, Vector3];
    viewer.stage.eye.stand.target.add(to.sub(from));
    const view = data.live.version === before?.live.version ? viewer.view?.name : undefined;
    viewer.setData(data);
    if (view) viewer.showView(view, 0, { keepAngle: true });
  }

  refused(error: Refused): void {
    if (this.news.refused(error)) this.frame?.open("fields");
  }

  /** Say that the server does not answer, until it does. */
  lost(words: string): void {
    this.news.lost(words);
    if (!this.frame) this.waiting.textContent = words;
  }

  notice(words: string): void {
    this.news.say(words);
  }

  /** Show how everything stands; what is of an earlier state is grey and says so. */
  private renew(): void {
    const { state, version } = this.session;
    const old = oldParts(version, state, this.data);
    if (state) this.bar.fill(state, this.make?.working ?? "");
    if (state?.answer) {
      this.change.fill(state.answer, old.answer);
      this.glance.fill(state.answer, old.answer, !old.judged);
    }
    this.finder?.setWaits(old.rig);
    this.make?.age(version);
    const parts = [old.answer || !state?.answer?.whole ? "change" : "", old.rig ? "find" : "", old.judged ? "findings" : ""];
    if (this.frame) this.frame.root.dataset["old"] = parts.filter(Boolean).join(" ");
  }

  /** Without a drawing there are still numbers and fields: say why, and show those. */
  private tryToOpen(data: LiveData): void {
    try {
      this.open(data);
    } catch (error) {
      this.undrawn = true;
      console.error(error);
      const why = element("p", "hm-live-waiting", UNDRAWN);
      const row = element("div", "hm-live-row", this.bar.root, this.bar.said);
      this.host.replaceChildren(element("div", "hm-live-undrawn", why, row, this.news.root, this.change.root, this.fields.root));
    }
  }

  private open(data: LiveData): void {
    this.host.replaceChildren();
    const frame = new Frame(this.host, data);
    this.frame = frame;
    const { viewer } = frame;
    if (this.session.units) viewer.setUnits(this.session.units);
    viewer.on("units", (units) => {
      this.session.units = units;
      keepUnits(units);
      void this.session.again();
    });
    const scene = this.host.querySelector<HTMLElement>(".hm-scene") ?? this.host;
    this.finder = new Finder(frame, this.session, scene);
    this.make = new Make(viewer, this.session);
    this.make.told = () => this.renew();
    this.addPanels(frame, this.finder, this.make);
    if (this.session.state) this.finder.state(this.session.state);
    this.lead(frame);
    const row = element("div", "hm-live-row", this.bar.root, this.bar.said);
    const top = element("div", "hm-live-top", row, this.glance.root, this.news.root);
    scene.append(top);
    this.clear(frame, scene, top);
    this.handles = new HandleSet(viewer, this.session, scene);
  }

  /** Keep what the named views show clear of what lies over the scene. */
  private clear(frame: Frame, scene: HTMLElement, top: HTMLElement): void {
    const { viewer } = frame;
    viewer.covered = () => {
      const [whole, over] = [scene.getBoundingClientRect(), top.getBoundingClientRect()];
      const stamp = scene.querySelector(".hm-stamp")?.getBoundingClientRect();
      return { top: over.bottom - whole.top, bottom: whole.bottom - (stamp?.top ?? whole.bottom) };
    };
    // never under somebody's hand, and not for the moment in which the banner has less to say
    new ResizeObserver(() => {
      if (!this.handles?.isHeld && !this.glance.waits) viewer.fitView();
    }).observe(top);
  }

  /** From a finding to its place in the scene, or to the field that it misses. */
  private lead(frame: Frame): void {
    this.change.go = (check, subject) => {
      const found = frame.viewer.data.findings.find((one) => one.check === check && one.subject === subject);
      if (found) frame.findings.show(found);
    };
    const give = (key: string): void => {
      frame.open("fields");
      this.fields.lead(key);
    };
    this.change.give = give;
    frame.findings.setGiving({ word: giveWord, go: give });
  }

  private addPanels(frame: Frame, finder: Finder, make: Make): void {
    frame.root.classList.add("hm-live");
    frame.addPanel({ key: "change", title: "Numbers", body: this.change.root });
    frame.addPanel({ key: "find", title: "Where else", body: finder.root });
    frame.addPanel({ key: "fields", title: "Fields", body: this.fields.root });
    frame.addPanel({ key: "make", title: "Make", body: make.root });
    const tabs = this.host.querySelector(".hm-tabs");
    tabs?.prepend(...OWN.map((key) => document.getElementById(`hm-tab-${key}`) ?? ""));
    this.host.querySelector(".hm-side")?.append(this.behind);
    frame.open(matchMedia("(max-width: 820px)").matches ? null : "change"); // a phone shows the scene first
  }

  private keepLevel(): boolean {
    if (!this.handles) return false;
    this.handles.keeps = !this.handles.keeps;
    return this.handles.keeps;
  }

  private saveAs(): void {
    ask({
      title: "Save as",
      about: "Writes another site file in the same folder and goes on with that one.",
      questions: [{ name: "name", label: "Name of the file", value: "site_moved.toml", hint: "Ends with .toml" }],
      go: "Save",
      act: async (values) => {
        let wrong: Wrong | null = null;
        const done = await this.session.act("save_as", values, (error) => (wrong = wrongOf(error)));
        return wrong ?? (done ? null : { words: "The program does not answer.", key: "" });
      },
    });
  }
}
