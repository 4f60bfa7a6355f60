/** What can be made of the site to hand on: a page, sheets, a picture; for whom, and which file it is. */

import { button, element } from "./dom.ts";
import { cameraOf } from "./live-camera.ts";
import { type LiveSession, pause } from "./live-session.ts";
import type { Viewer } from "./viewer.ts";

interface Kind {
  name: "page" | "sheets" | "picture";
  ending: string;
  title: string;
  about: string;
}

const KINDS: Kind[] = [
  {
    name: "page",
    ending: "html",
    title: "Page to send",
    about:
      "For neighbours, the landowner and the permit office: one file that opens in any browser, on a desk or a phone, " +
      "without a network. They turn the scene, look from their own window, raise the mast and read what was found.",
  },
  {
    name: "sheets",
    ending: "pdf",
    title: "Sheets to print",
    about:
      "For the crew and the permit office: one PDF, drawn to scale. Plan and elevations, stake-out, wire lengths, " +
      "order of work, and everything that was found.",
  },
  {
    name: "picture",
    ending: "png",
    title: "Picture",
    about: "For a letter or a report: what the scene shows now, from this camera and at this angle, drawn finely.",
  },
];

export class Make {
  readonly root = element("div", "hm-live-make");
  /** Told when something begins or ends. */
  told: () => void = () => undefined;
  /** What is being made; empty if nothing is. */
  working = "";
  private readonly rows: Row[];

  constructor(viewer: Viewer, session: LiveSession) {
    this.rows = KINDS.map((kind) => new Row(kind, session, viewer, (working) => {
      this.working = working ? kind.name : "";
      for (const row of this.rows) row.go.disabled = working;
      this.told();
    }));
    const about = element("p", "hm-hint", "Files to hand on. Each shows the site as it is here now, saved or not.");
    this.root.append(about, ...this.rows.map((row) => row.root));
  }

  /** Tell that the site is at this version: files of earlier ones are called so. */
  age(version: number): void {
    for (const row of this.rows) row.age(version);
  }
}

class Row {
  readonly root: HTMLElement;
  readonly go: HTMLButtonElement;
  private readonly kind: Kind;
  private readonly session: LiveSession;
  private readonly viewer: Viewer;
  private readonly busy: (working: boolean) => void;
  private readonly said = element("p", "hm-live-made");
  private readonly old = element("p", "hm-find-old", "This file shows an earlier state of the site. Make it again.");
  private address = "";
  private version = 0;

  constructor(kind: Kind, session: LiveSession, viewer: Viewer, busy: (working: boolean) => void) {
    [this.kind, this.session, this.viewer, this.busy] = [kind, session, viewer, busy];
    this.go = button(`Make the ${kind.name}`, () => void this.make(), "hm-button");
    this.go.dataset["act"] = kind.name;
    this.said.setAttribute("role", "status");
    this.old.hidden = true;
    this.root = element("section", "", element("h3", "", kind.title), element("p", "", kind.about), this.go, this.said, this.old);
  }

  age(version: number): void {
    const old = this.address !== "" && version !== this.version;
    this.old.hidden = !old;
    this.said.classList.toggle("hm-find-pale", old);
  }

  private async make(): Promise<void> {
    const { name } = this.kind;
    this.busy(true);
    this.old.hidden = true;
    const began = Date.now();
    const say = (): void => {
      const seconds = Math.round((Date.now() - began) / 1000);
      this.said.textContent = `Making the ${name} … ${seconds} s`;
    };
    say();
    const clock = setInterval(say, 1000);
    try {
      await this.settled();
      const { version, state } = this.session;
      const blob = await this.session.file(name, name === "picture" ? cameraOf(this.viewer) : {});
      this.give(blob, `${state?.folder ?? "site"}-${name}.${this.kind.ending}`, state?.dirty ?? false);
      this.version = version;
      this.age(this.session.version);
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      this.said.textContent = `The ${name} was not made: ${why}`;
    } finally {
      clearInterval(clock);
      this.busy(false);
    }
  }

  /** Wait until the newest state is worked out: nothing is made of an older one. */
  private async settled(): Promise<void> {
    for (let k = 0; k < 300; k++) {
      const { state, version } = this.session;
      if (state && !state.busy && state.version === version && state.answer?.whole) return;
      await pause(200);
    }
  }

  /** Hand the file to the browser, and name it. */
  private give(blob: Blob, file: string, dirty: boolean): void {
    URL.revokeObjectURL(this.address);
    this.address = URL.createObjectURL(blob);
    const link = element("a", "", file);
    [link.href, link.download] = [this.address, file];
    const size = blob.size < 1e6 ? `${Math.ceil(blob.size / 1e3)} kB` : `${(blob.size / 1e6).toFixed(1)} MB`;
    const state = dirty ? " It has your changes in it, which are not saved in the site file." : "";
    this.said.replaceChildren("Made: ", link, ` (${size}), in the folder for downloads of this browser.${state}`);
    link.click();
  }
}
