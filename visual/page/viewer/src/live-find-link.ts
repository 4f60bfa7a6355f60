/** How search and rose of a site stand at the server, asked for whenever that may have changed. */

import type { Found, FinderState } from "./live-find-types.ts";
import { pause, type LiveSession } from "./live-session.ts";
import type { State } from "./live-types.ts";

const EVERY = 400; // milliseconds between questions while something is running

export class FinderLink {
  state: FinderState | null = null;
  private readonly session: LiveSession;
  private readonly told: (state: FinderState) => void;
  private asked = "";
  private asking = false;

  constructor(session: LiveSession, told: (state: FinderState) => void) {
    this.session = session;
    this.told = told;
  }

  /** Take a state of the site: ask anew if it is another one, or if something began or ended. */
  follow(state: State): void {
    this.age(state);
    const seen = `${state.looked}/${state.version}/${state.data_changed.join()}`;
    if (seen === this.asked) return;
    this.asked = seen;
    void this.ask();
  }

  /** Ask for what was found, in the frame of a version. */
  async found(version: number): Promise<Found | null> {
    const found = await this.session.ask<Found>(`found?seen=${version}`);
    return found.number ? found : null;
  }

  /** What does not hold for a state is old from that moment on, and what holds again is not. */
  private age(state: State): void {
    const known = this.state;
    if (!known || state.version < known.version) return;
    const [search, rose] = [known.search.number > 0 && !state.holds.search, known.rose.number > 0 && !state.holds.rose];
    if (search === known.search.old && rose === known.rose.old) return;
    this.state = { ...known, version: state.version, search: { ...known.search, old: search }, rose: { ...known.rose, old: rose } };
    this.told(this.state);
  }

  private async ask(): Promise<void> {
    if (this.asking) return;
    this.asking = true;
    try {
      for (let seen = ""; seen !== this.asked || this.running; ) {
        if (seen === this.asked) await pause(EVERY);
        seen = this.asked;
        const state = await this.session.ask<FinderState>("finder");
        if (this.session.closed) return;
        if (this.state && state.version < this.state.version) continue; // what came meanwhile knows better
        this.state = state;
        this.told(state);
      }
    } catch {
      this.asked = ""; // the session says that the program does not answer; asked again with its next state
    } finally {
      this.asking = false;
    }
  }

  private get running(): boolean {
    return this.state !== null && (this.state.search.running || this.state.rose.running);
  }
}
