/** At a glance: what stops it here, and what could be tried. */

import { button, element } from "./dom.ts";
import { markEdges } from "./edges.ts";
import type { Status } from "./data.ts";
import type { Answer, Hint, Lead } from "./live-types.ts";
import { statusSign } from "./status.ts";

/** What each advice leads to. */
export type Leads = Record<Lead, () => void>;

export class Glance {
  readonly root = element("section", "hm-glance");
  private readonly words = element("p", "hm-glance-words");
  private readonly hint = element("p", "hm-glance-hint");
  private readonly ways = element("div", "hm-glance-ways");
  private readonly leads: Leads;
  /** It is not the last word: the newest state is still being worked out. */
  waits = false;
  private shown = "";

  constructor(leads: Leads) {
    this.leads = leads;
    this.root.setAttribute("aria-label", "At a glance");
    this.words.setAttribute("role", "status");
    markEdges(this.ways);
    this.root.append(this.words, this.hint, this.ways);
  }

  /**
   * Show an answer; `waits` if the site was edited since, so that it is not the last word, and
   * `drawn` if picture and findings are of this answer already.
   */
  fill(answer: Answer, waits: boolean, drawn: boolean): void {
    const pending = waits || !answer.whole;
    this.waits = pending;
    this.root.classList.toggle("hm-glance-waits", pending);
    this.root.dataset["state"] = pending ? "waits" : worst(answer.counts);
    const shown = JSON.stringify([pending, drawn, answer.counts, answer.hint]);
    if (shown === this.shown) return;
    this.shown = shown;
    if (pending) this.words.replaceChildren("Checking this place …");
    else this.words.replaceChildren(statusSign(worst(answer.counts)), element("b", "", headline(answer.counts)), rest(answer.counts), drawn ? "" : " · the picture follows …");
    this.hint.textContent = pending ? "What is grey is still of the state before." : answer.hint.text;
    this.offer(pending ? null : answer.hint);
  }

  private offer(hint: Hint | null): void {
    const held = document.activeElement instanceof HTMLElement ? document.activeElement.dataset["lead"] : undefined;
    const made = (hint?.ways ?? []).map(({ lead, word }) => {
      const one = button(word, () => this.leads[lead](), lead === hint?.first ? "hm-button hm-first-way" : "hm-button");
      one.dataset["lead"] = lead;
      return one;
    });
    this.ways.replaceChildren(...made);
    made.find((one) => one.dataset["lead"] === held)?.focus();
  }
}

/** `2 things stop it here`, `nothing stops it here`. */
export function headline(counts: Record<Status, number>): string {
  if (counts.stop) return counts.stop === 1 ? "1 thing stops it here" : `${counts.stop} things stop it here`;
  return "Nothing stops it here";
}

function rest(counts: Record<Status, number>): string {
  const parts = [
    counts["not checked"] ? `${counts["not checked"]} not checked` : "",
    counts.caution ? `${counts.caution} ${counts.caution === 1 ? "needs" : "need"} care` : "",
  ].filter(Boolean);
  return parts.length ? ` · ${parts.join(", ")}` : "";
}

/** What is not checked never looks as if it were in order. */
function worst(counts: Record<Status, number>): Status {
  return counts.stop ? "stop" : counts["not checked"] ? "not checked" : "ok";
}
