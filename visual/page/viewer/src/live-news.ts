/** What must be said, or asked, before one goes on: refusals, changes on the disk, a server that is gone. */

import { button, element } from "./dom.ts";
import { type Refused, sentence } from "./live-api.ts";
import type { Fields } from "./live-fields.ts";
import type { State } from "./live-types.ts";

export class News {
  readonly root = element("div", "hm-live-news");
  private readonly fields: Fields;
  private readonly act: (name: string) => void;
  /** Version that was complained of last, and that which a refusal belongs to. */
  private complained = 0;
  private refusedAt: number | null = null;

  constructor(fields: Fields, act: (name: string) => void) {
    [this.fields, this.act] = [fields, act];
    this.root.setAttribute("role", "alert");
  }

  say(words: string, ...actions: HTMLButtonElement[]): void {
    const close = button("Close", () => this.root.replaceChildren());
    this.root.replaceChildren(element("span", "", words), ...actions, close);
  }

  /** Say that the server does not answer, until it does. */
  lost(words: string): void {
    this.say(words);
    this.root.dataset["for"] = "lost";
  }

  /** Say why something was not done; true if that is said beside a field, and only there. */
  refused(error: Refused): boolean {
    if (error.outside) {
      this.askOutside(error.message);
      return false;
    }
    const left = this.fields.complain(error.problems);
    if (error.problems.length && left.length === 0) return true;
    this.say(left.length ? left.map(sentence).join(" ") : error.message);
    this.refusedAt = this.complained;
    return false;
  }

  tell(state: State): void {
    if (state.outside === "changed") this.askOutside("The site file was changed by another program.");
    else if (state.outside === "gone") this.say("The site file is gone; Save writes it again.");
    else if (state.problems.length) {
      const left = this.fields.complain(state.problems);
      const wrong = (left.length ? left : state.problems).map(sentence).join(" ");
      if (state.data_changed.length) this.askData(wrong);
      else this.say(`The last edit was taken back. ${wrong}`);
    } else if (state.notice) this.say(state.notice);
    else if (state.data_changed.length) this.askData(`${state.data_changed.join(", ")} changed on disk.`);
    else if (this.root.dataset["for"] || this.isOld(state)) this.root.replaceChildren();
    this.root.dataset["for"] = state.outside || state.data_changed.length ? "disk" : state.problems.length ? "edit" : "";
    if (!state.problems.length && state.version !== this.complained) this.fields.complain([]);
    this.complained = state.version;
  }

  /** Whether what was refused is no longer what one is at: another edit went through. */
  private isOld(state: State): boolean {
    if (this.refusedAt === null || state.version === this.refusedAt) return false;
    this.refusedAt = null;
    return true;
  }

  private askOutside(words: string): void {
    this.say(
      words,
      button("Load what is in the file", () => this.act("take_outside")),
      button("Keep what is here", () => this.act("keep_mine")),
    );
  }

  private askData(words: string): void {
    this.say(`${words} What is shown is of before.`, button("Read again", () => this.act("read_data")));
  }
}
