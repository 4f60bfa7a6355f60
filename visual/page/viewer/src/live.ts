/** The live view of one site: the page's frame, with handles, fields, numbers and a bar of its own. */

import { Vector3 } from "three";
import { button, element } from "./dom.ts";
import { markEdges } from "./edges.ts";
import { Frame } from "./frame.ts";
import { download, type Refused, sentence } from "./live-api.ts";
import { Change } from "./live-change.ts";
import { ask, type Wrong, wrongOf } from "./live-dialog.ts";
import { Fields } from "./live-fields.ts";
import { Finder } from "./live-finder.ts";
import { Glance } from "./live-glance.ts";
import { HandleSet } from "./live-handles.ts";
import type { LiveSession } from "./live-session.ts";
import type { LiveData, State } from "./live-types.ts";

export class Live {
  frame: Frame | null = null;
  private readonly host: HTMLElement;
  private session!: LiveSession;
  private readonly leave: () => void;
  private readonly change = new Change();
  private readonly fields: Fields;
  private readonly bar = element("div", "hm-live-bar");
  private readonly said = element("div", "hm-live-said");
  private readonly news = element("div", "hm-live-news");
  private readonly waiting = element("p", "hm-live-waiting", "Working out the site …");
  private readonly buttons = new Map<string, HTMLButtonElement>();
  private readonly glance: Glance;
  private finder: Finder | null = null;
  /** For fingers, which have no Shift key. */
  private readonly keep = button("Contour", () => this.keepLevel(), "hm-button hm-live-keep");
  private handles: HandleSet | null = null;
  private offset = new Vector3();

  constructor(host: HTMLElement, leave: () => void) {
    this.host = host;
    this.leave = leave;
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
    this.said.setAttribute("role", "status");
    this.news.setAttribute("role", "alert");
    this.makeBar();
    host.replaceChildren(this.waiting);
    addEventListener("keydown", (event) => this.key(event));
  }

  begin(session: LiveSession): void {
    this.session = session;
  }

  state(state: State): void {
    document.title = `${state.dirty ? "• " : ""}${state.folder}/${state.file} – Hillmast`;
    this.fields.fill(state.fields);
    this.able("undo", state.can_undo);
    this.able("redo", state.can_redo);
    this.able("reset", state.dirty);
    this.able("save", state.dirty);
    this.said.textContent = saying(state);
    this.said.dataset["busy"] = `${state.busy}`;
    this.tell(state);
    this.finder?.state(state);
    const waits = state.busy && (state.answer?.version ?? 0) < state.version;
    if (state.answer) this.change.fill(state.answer, waits);
    if (state.answer) this.glance.fill(state.answer, waits, state.scene?.[0] === state.version);
    if (state.answer?.counts.stop) this.finder?.prepare();
    if (state.doing) this.waiting.textContent = `One moment: ${state.doing} …`;
    if (!state.answer && state.problems.length) this.waiting.textContent = state.problems.map(sentence).join(" ");
  }

  scene(data: LiveData): void {
    const to = new Vector3(...data.around.offset);
    if (!this.frame) this.open(data);
    else {
      const { viewer } = this.frame;
      viewer.stage.eye.stand.target.add(to.clone().sub(this.offset));
      viewer.setData(data);
    }
    this.offset = to;
    this.handles?.show(data);
    this.finder?.scene(data);
  }

  refused(error: Refused): void {
    if (error.outside) return this.askOutside(error.message);
    const left = this.fields.complain(error.problems);
    if (error.problems.length && left.length === 0) return this.frame?.open("fields");
    this.notice(left.length ? left.map(sentence).join(" ") : error.message);
    this.refusedAt = this.complained;
  }

  /** Say that the server does not answer, until it does. */
  lost(words: string): void {
    this.notice(words);
    this.news.dataset["for"] = "lost";
    if (!this.frame) this.waiting.textContent = words;
  }

  notice(words: string, ...actions: HTMLButtonElement[]): void {
    const close = button("Close", () => this.news.replaceChildren());
    this.news.replaceChildren(element("span", "", words), ...actions, close);
  }

  private open(data: LiveData): void {
    this.host.replaceChildren();
    const frame = new Frame(this.host, data);
    this.frame = frame;
    frame.addPanel({ key: "change", title: "Numbers", body: this.change.root });
    frame.addPanel({ key: "fields", title: "Fields", body: this.fields.root });
    const scene = this.host.querySelector<HTMLElement>(".hm-scene") ?? this.host;
    this.finder = new Finder(frame, this.session, scene);
    frame.addPanel({ key: "find", title: "Where else", body: this.finder.root });
    if (this.session.state) this.finder.state(this.session.state);
    frame.root.classList.add("hm-live");
    frame.viewer.on("units", (units) => {
      this.session.units = units;
      void this.session.again();
    });
    const tabs = this.host.querySelector(".hm-tabs");
    tabs?.prepend(...["change", "find", "fields"].map((key) => document.getElementById(`hm-tab-${key}`) ?? ""));
    frame.open("change");
    const row = element("div", "hm-live-row", this.bar, this.said);
    scene.append(element("div", "hm-live-top", row, this.glance.root, this.news));
    this.handles = new HandleSet(frame.viewer, this.session, scene);
    this.change.go = (check, subject) => {
      const found = frame.viewer.data.findings.find((one) => one.check === check && one.subject === subject);
      if (found) frame.findings.show(found);
    };
  }

  private makeBar(): void {
    const act = (name: string, word: string, title: string, press: () => void): void => {
      const made = button(word, press, "hm-button");
      made.title = title;
      made.dataset["act"] = name;
      this.buttons.set(name, made);
      this.bar.append(made);
    };
    act("undo", "Undo", "Ctrl+Z", () => void this.session.act("undo"));
    act("redo", "Redo", "Ctrl+Shift+Z", () => void this.session.act("redo"));
    act("reset", "Reset", "Back to the saved site; this can be undone", () => void this.session.act("reset"));
    act("save", "Save", "Ctrl+S: write the site file; comments and order stay", () => void this.session.act("save"));
    act("save_as", "Save as …", "Write another site file in the same folder", () => this.saveAs());
    act("picture", "Picture", "A picture of the finest kind, from this camera", () => void this.picture());
    act("page", "Page", "One file to send", () => void this.make("page", "html"));
    act("sheets", "Sheets", "The papers for the crew and the office, as PDF", () => void this.make("sheets", "pdf"));
    act("sites", "Sites", "All sites in this folder; drop ground data there", () => this.leave());
    this.keep.title = "Handles keep to the contour through the base, as with Shift";
    this.keep.setAttribute("aria-pressed", "false");
    this.bar.append(this.keep);
    markEdges(this.bar);
  }

  private keepLevel(): void {
    if (!this.handles) return;
    this.handles.keeps = !this.handles.keeps;
    this.keep.setAttribute("aria-pressed", `${this.handles.keeps}`);
  }

  private able(name: string, on: boolean): void {
    const known = this.buttons.get(name);
    if (known) known.disabled = !on;
  }

  private tell(state: State): void {
    if (state.outside === "changed") this.askOutside("The site file was changed by another program.");
    else if (state.outside === "gone") this.notice("The site file is gone; Save writes it again.");
    else if (state.problems.length) {
      const left = this.fields.complain(state.problems);
      const wrong = (left.length ? left : state.problems).map(sentence).join(" ");
      if (state.data_changed.length) this.askData(wrong);
      else this.notice(`The last edit was taken back. ${wrong}`);
    } else if (state.notice) this.notice(state.notice);
    else if (state.data_changed.length) this.askData(`${state.data_changed.join(", ")} changed on disk.`);
    else if (this.news.dataset["for"] || this.isOld(state)) this.news.replaceChildren();
    this.news.dataset["for"] = state.outside || state.data_changed.length ? "disk" : state.problems.length ? "edit" : "";
    if (!state.problems.length && state.version !== this.complained) this.fields.complain([]);
    this.complained = state.version;
  }
  private complained = 0;

  /** Whether what was refused is no longer what one is at: another edit went through. */
  private isOld(state: State): boolean {
    if (this.refusedAt === null || state.version === this.refusedAt) return false;
    this.refusedAt = null;
    return true;
  }
  private refusedAt: number | null = null;

  private askOutside(words: string): void {
    this.notice(
      words,
      button("Load what is in the file", () => void this.session.act("take_outside")),
      button("Keep what is here", () => void this.session.act("keep_mine")),
    );
  }

  private askData(words: string): void {
    const again = button("Read again", () => void this.session.act("read_data"));
    this.notice(`${words} What is shown is of before.`, again);
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

  private async picture(): Promise<void> {
    const viewer = this.frame?.viewer;
    if (!viewer) return;
    const { eye, width, height } = viewer.stage;
    const { target, fieldOfView, flat, distance } = eye.stand;
    const up = new Vector3(0, 0, 1);
    const size = { width: 1600, height: Math.max(200, Math.round((1600 * height) / width)) };
    await this.make("picture", "png", {
      eye: eye.position.toArray(),
      target: target.toArray(),
      up: up.toArray(),
      field_of_view: flat ? 0 : (fieldOfView * 180) / Math.PI,
      span: 2 * distance * Math.tan(fieldOfView / 2),
      angle: viewer.angle === "standing" ? null : viewer.angle,
      ...size,
    });
  }

  private async make(name: string, ending: string, body: Record<string, unknown> = {}): Promise<void> {
    const made = this.buttons.get(name);
    if (made) made.disabled = true;
    this.said.textContent = `making the ${name} …`;
    try {
      const site = this.session.state?.folder ?? "site";
      download(await this.session.file(name, body), `${site}-${name}.${ending}`);
      this.said.textContent = `the ${name} is among your downloads`;
    } catch (error) {
      this.notice(error instanceof Error ? error.message : String(error));
      this.said.textContent = "";
    }
    if (made) made.disabled = false;
  }

  private key(event: KeyboardEvent): void {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    const typing = event.target instanceof HTMLInputElement && event.target.type === "text";
    const name = key === "s" ? "save" : key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : "";
    if (!name || (typing && name !== "save")) return;
    event.preventDefault();
    const known = this.buttons.get(name);
    if (known && !known.disabled) known.click();
  }
}

function saying(state: State): string {
  if (state.busy) return "working …";
  const time = state.took ? ` · answered in ${state.took.toFixed(1)} s` : "";
  const rest = state.doing ? ` · ${state.doing} …` : "";
  return (state.dirty ? "not saved" : "saved") + time + rest;
}
