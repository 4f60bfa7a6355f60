/** What the edits come to: findings that came or went, and every number as it was and is. */

import { button, element } from "./dom.ts";
import type { Status } from "./data.ts";
import type { Answer, LiveFinding } from "./live-types.ts";
import { giveWord } from "./live-words.ts";
import { STATUSES, statusSign } from "./status.ts";

const WORDS: Record<Status, [string, string]> = {
  stop: ["stops the raise", "stop the raise"],
  "not checked": ["not checked", "not checked"],
  caution: ["needs care", "need care"],
  ok: ["inside the limits", "inside the limits"],
};

const HOW =
  "Drag the blue marks: the square is the base, rings are anchors, the arrow is the front. " +
  "With Shift, or Contour, they keep to the contour through the base. Every edit can be undone.";

export class Change {
  readonly root = element("div", "hm-live-change");
  /** Go to a finding of the list. */
  go: (check: string, subject: string) => void = () => undefined;
  /** Go to the field of a key that a finding misses. */
  give: (key: string) => void = () => undefined;
  private readonly verdict = element("div", "hm-live-verdict");
  private readonly lists = element("div", "hm-live-lists");
  private readonly table = element("table", "hm-live-numbers");

  constructor() {
    this.verdict.setAttribute("role", "status");
    this.root.append(element("p", "hm-hint", HOW), this.verdict, this.lists, element("h3", "", "Numbers"), this.table);
  }

  /** Show an answer; `old` if the site has been edited since. */
  fill(answer: Answer, old: boolean): void {
    this.root.classList.toggle("hm-live-old", old);
    this.root.classList.toggle("hm-live-partly", !answer.whole);
    this.verdict.replaceChildren(...STATUSES.map((status) => countRow(status, answer)));
    this.lists.replaceChildren(...this.differences(answer));
    const rows = answer.numbers.map((one) => {
      const was = element("td", "hm-live-was", one.changed ? one.was || "–" : "");
      const row = element("tr", "", element("th", "", one.label), was, element("td", "", one.is || "–"));
      row.classList.toggle("hm-live-moved", one.changed);
      row.classList.toggle("hm-live-fresh", one.fresh === true);
      return row;
    });
    const head = element("tr", "", element("th"), element("th", "", "was"), element("th", "", "is"));
    this.table.replaceChildren(element("thead", "", head), element("tbody", "", ...rows));
  }

  private differences(answer: Answer): Node[] {
    const came = answer.findings.filter((one) => one.change === "new" || one.change === "worse");
    const known = new Set(came);
    const better = answer.findings.filter((one) => one.change === "better" && one.status !== "ok");
    const first = answer.findings.filter((one) => one.status === "stop" && !known.has(one)).slice(0, 6);
    const unlooked = answer.findings.filter((one) => one.status === "not checked" && !known.has(one));
    return [
      ...this.list("Appeared or worse", came.map((one) => this.row(one))),
      ...this.list("What stops it, worst first", first.map((one) => this.row(one))),
      ...this.list("Not checked", unlooked.map((one) => this.row(one))),
      ...this.list("Better", better.map((one) => this.row(one))),
      ...this.list("Gone", answer.gone.map((one) => this.gone(one))),
    ];
  }

  private list(title: string, rows: Node[]): Node[] {
    if (rows.length === 0) return [];
    const list = element("ul", "hm-live-list", ...rows.slice(0, 12));
    if (rows.length > 12) list.append(element("li", "hm-hint", `and ${rows.length - 12} more, see Findings`));
    return [element("h3", "", title), list];
  }

  private row(one: LiveFinding): HTMLElement {
    const numbers = one.was_text && one.was_text !== one.value_text
      ? `${one.was_text} → ${one.value_text}`
      : one.value_text;
    const limit = one.limit_text ? `, ${one.limit_text}` : "";
    const words = element(
      "button",
      "hm-live-finding",
      element("b", "", one.subject),
      element("span", "", ` ${one.check}`),
      element("small", "", numbers ? `${numbers}${limit}` : ""),
      element("small", "", one.message),
    );
    words.type = "button";
    words.addEventListener("click", () => this.go(one.check, one.subject));
    const give = one.missing ? [button(giveWord(one.missing), () => this.give(one.missing), "hm-button hm-give")] : [];
    const said = element("div", "", words, ...give);
    return element("li", one.fresh ? "hm-live-fresh" : "", statusSign(one.status), said);
  }

  private gone(one: { check: string; subject: string; status: Status }): HTMLElement {
    const words = element("span", "", element("s", "", `${one.subject} ${one.check}`), ` (${one.status})`);
    return element("li", "hm-live-gone", statusSign("ok"), words);
  }
}

function countRow(status: Status, answer: Answer): HTMLElement {
  const [is, was] = [answer.counts[status], answer.counts_saved[status]];
  const word = WORDS[status][is === 1 ? 0 : 1];
  const row = element("span", `hm-live-count hm-live-${status.replace(" ", "-")}`, statusSign(status));
  row.append(element("b", "", is === was ? `${is}` : `${was} → ${is}`), ` ${word}`);
  return row;
}
