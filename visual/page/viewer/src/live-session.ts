/** One open site as this tab knows it: what the server says last, and edits on their way to it. */

import { type Api, Refused } from "./live-api.ts";
import type { Units } from "./data.ts";
import type { LiveData, SentData, State } from "./live-types.ts";

export interface Ears {
  state(state: State): void;
  /** An edit of this tab was taken; what it comes to is told later. */
  sent(): void;
  scene(data: LiveData): void;
  refused(error: Refused): void;
  lost(message: string): void;
}

const KEPT_UNITS = "hillmast-units";

const KEPT = "Is it still running in the terminal? Work that was worked out is kept beside the site file.";

type Body = Record<string, unknown>;

export class LiveSession {
  readonly key: string;
  state: State | null = null;
  /** Version of the text as far as this tab knows. */
  version = 0;
  /** True while an edit of this tab is on its way. */
  sending = false;
  /** Units that numbers are asked in; the site's own if empty. */
  units: Units | "" = "";
  private readonly api: Api;
  private readonly ears: Ears;
  private readonly path: string;
  private next: { name: string; body: Body } | null = null;
  private known: LiveData["around"] | null = null;
  private shown = "";
  closed = false;

  constructor(api: Api, key: string, ears: Ears) {
    this.api = api;
    this.key = key;
    this.ears = ears;
    this.path = `sites/${key}`;
    void this.follow();
  }

  close(): void {
    this.closed = true;
  }

  /** Ask for everything again, such as in other units. */
  async again(): Promise<void> {
    await this.look(0);
  }

  /** Send an edit; while one is on its way only the last one waits. */
  push(name: string, body: Body): void {
    this.next = { name, body };
    if (!this.sending) void this.pump();
  }

  /** Send something and wait for it. */
  async act(name: string, body: Body = {}, refused = this.ears.refused): Promise<boolean> {
    while (this.sending) await pause(20);
    this.sending = true;
    try {
      return await this.send(name, body, refused);
    } finally {
      this.sending = false;
    }
  }

  /** Ask for something of this site. */
  async ask<T>(what: string): Promise<T> {
    return this.api.get<T>(`${this.path}/${what}`);
  }

  async file(name: string, body: Body = {}): Promise<Blob> {
    return this.api.file(`${this.path}/${name}`, body);
  }

  private async pump(): Promise<void> {
    this.sending = true;
    try {
      while (this.next) {
        const { name, body } = this.next;
        this.next = null;
        await this.send(name, body);
      }
    } finally {
      this.sending = false;
    }
  }

  private async send(name: string, body: Body, refused = this.ears.refused): Promise<boolean> {
    try {
      const said = await this.api.post<{ version: number }>(`${this.path}/${name}`, {
        ...body,
        version: this.version,
      });
      if (said.version > this.version) {
        this.version = said.version;
        this.ears.sent();
      }
      return true;
    } catch (error) {
      if (error instanceof Refused) {
        // the newest state comes with the next news too, should it not come now
        if (error.stale) await this.look(0).catch(() => undefined);
        refused(error);
      } else this.ears.lost(`The program does not answer, so this was not done. ${KEPT}`);
      return false;
    }
  }

  /** Ask for news, again and again. */
  private async follow(): Promise<void> {
    let after = 0;
    while (!this.closed) {
      if (document.hidden && after) {
        await new Promise((done) => document.addEventListener("visibilitychange", done, { once: true }));
      }
      try {
        after = await this.look(after);
      } catch (error) {
        const words = error instanceof Refused ? error.message : `The program does not answer; trying again. ${KEPT}`;
        this.ears.lost(words);
        await pause(1500);
        after = 0;
      }
    }
  }

  private async look(after: number): Promise<number> {
    const state = await this.api.get<State>(`${this.path}/state?after=${after}&units=${this.units}`);
    if (this.closed) return state.seq;
    // an answer that was on its way while an edit was made is older than the edit
    if (state.version < this.version && after) return after;
    this.state = state;
    this.version = Math.max(this.version, state.version);
    this.ears.state(state);
    const stamp = JSON.stringify(state.scene);
    if (state.scene && stamp !== this.shown) {
      await this.draw();
      this.shown = stamp;
    }
    return state.seq;
  }

  private async draw(): Promise<void> {
    const have = this.known?.ground.key ?? "";
    const sent = await this.api.get<SentData>(`${this.path}/scene?have=${have}`);
    if (sent.around.layers === null) {
      if (!this.known) return;
      sent.around = { ...this.known, offset: sent.around.offset };
    }
    const data = sent as LiveData;
    this.known = data.around;
    this.ears.scene(data);
  }
}

/** Units that were chosen in this tab, for whichever site; empty if none were. */
export function keptUnits(): Units | "" {
  const kept = sessionStorage.getItem(KEPT_UNITS);
  return kept === "metric" || kept === "imperial" ? kept : "";
}

export function keepUnits(units: Units): void {
  sessionStorage.setItem(KEPT_UNITS, units);
}

export function pause(milliseconds: number): Promise<void> {
  return new Promise((done) => setTimeout(done, milliseconds));
}
