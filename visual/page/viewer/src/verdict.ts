/** The verdict as a sentence: it comes first on screen, on a phone and on paper. */

import type { PageData, Status, Verdict } from "./data.ts";
import { element } from "./dom.ts";
import { STATUSES, statusSign } from "./status.ts";

/** The worst status that a finding has: it gives the verdict its sign. */
export function worstOf(counts: Record<Status, number>): Status {
  return STATUSES.find((status) => counts[status] > 0) ?? "ok";
}

/** For the head: the sentence on the page to send, the counts in the live view. */
export function badgeParts(data: PageData): Node[] {
  const { brief, verdict } = data;
  if (!brief) return countParts(verdict);
  return [signOf(brief.verdict), element("span", "hm-verdict-words", brief.verdict.short)];
}

export function verdictInFull(verdict: Verdict): HTMLElement {
  const look = verdict.stops ? "hm-said hm-said-stop" : "hm-said";
  const first = element("p", "hm-lead", signOf(verdict), " ", verdict.short);
  const made = element("section", look, first);
  if (verdict.wrong.length) made.append(element("p", "", "What is wrong:"), element("ul", "", ...verdict.wrong.map((one) => element("li", "", one))));
  made.append(...verdict.more.map((one) => element("p", "", one)));
  return made;
}

/** Nothing that forbids it is not yet a permit: no disc that means all is well. */
function signOf(verdict: Verdict): SVGElement {
  return statusSign(verdict.stops ? "stop" : "not checked");
}

function countParts(verdict: Record<Status, number>): Node[] {
  const some = STATUSES.filter((status) => status !== "ok" && verdict[status] > 0);
  if (some.length === 0) return [statusSign("ok"), element("span", "", "nothing stops")];
  const words: Record<Status, (n: number) => string> = {
    stop: (n) => (n === 1 ? "1 stops" : `${n} stop`),
    "not checked": (n) => `${n} not checked`,
    caution: (n) => (n === 1 ? "1 needs care" : `${n} need care`),
    ok: () => "",
  };
  const parts = some.map((status) => element("span", `hm-badge-${status.replace(" ", "-")}`, statusSign(status), ` ${words[status](verdict[status])}`));
  if (verdict.stop > 0) return parts;
  return [element("span", "", statusSign("ok"), " nothing stops"), ...parts];
}
