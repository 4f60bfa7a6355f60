/** The findings as a plain table: the text alternative of the marks in the scene. */

import type { Finding, PageData, Units } from "./data.ts";
import { element } from "./dom.ts";
import { statusSign } from "./status.ts";
import { angleText } from "./units.ts";

const WORDS = ["status", "check", "of", "found", "limit", "angle", "in words", "where the limit comes from"];

export function findingsTable(data: PageData, units: Units): HTMLTableElement {
  const head = element("tr");
  for (const word of WORDS) {
    const cell = element("th", "", word);
    cell.scope = "col";
    head.append(cell);
  }
  const caption = element("caption", "", "All findings, worst first");
  const rows = data.findings.map((one) => row(one, units));
  return element("table", "hm-table", caption, element("thead", "", head), element("tbody", "", ...rows));
}

function row(one: Finding, units: Units): HTMLTableRowElement {
  const state = element("td", `hm-state hm-state-${one.status.replace(" ", "-")}`);
  state.append(statusSign(one.status), ` ${one.status}`);
  const angle = one.angle === null ? "" : angleText(one.angle);
  const [found, limit] = [one.value?.[units] ?? "", one.limit?.[units] ?? ""];
  const texts = [one.check, one.subject, found, limit, angle, one.message[units], one.basis];
  return element("tr", "", state, ...texts.map((text) => element("td", "", text)));
}
