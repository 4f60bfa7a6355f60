/** The findings as a plain table: the text alternative of the marks in the scene. */

import type { Finding, PageData, Status, TableData, Units } from "./data.ts";
import { element } from "./dom.ts";
import { markEdges } from "./edges.ts";
import { statusSign } from "./status.ts";
import { angleText } from "./units.ts";

const WORDS = ["status", "check", "of", "found", "limit", "angle", "in words", "where the limit comes from"];

export function findingsTable(data: PageData, units: Units): HTMLTableElement {
  const head = element("tr", "", ...WORDS.map((word) => headCell(word)));
  const caption = element("caption", "", "All findings, worst first");
  const rows = data.findings.map((one) => row(one, units));
  return element("table", "hm-table", caption, element("thead", "", head), element("tbody", "", ...rows));
}

function row(one: Finding, units: Units): HTMLTableRowElement {
  const angle = one.angle === null ? "" : angleText(one.angle);
  const [found, limit] = [one.value?.[units] ?? "", one.limit?.[units] ?? ""];
  const texts = [one.check, one.subject, found, limit, angle, one.message[units], one.basis];
  return element("tr", "", stateCell(one.status), ...texts.map((text) => element("td", "", text)));
}

/** A table of the page, in the reader's units. */
export function plainTable(key: string, data: TableData, units: Units): HTMLElement {
  const head = element("tr", "", ...data.head.map((word) => headCell(word)));
  const verdict = data.head.indexOf("verdict");
  const rows = data.rows.map((cells) => {
    const made = cells.map((cell, k) => (k === verdict ? stateCell(cell as Status) : element("td", "", typeof cell === "string" ? cell : cell[units])));
    return element("tr", "", ...made);
  });
  const table = element("table", "hm-table", element("caption", "", data.title), element("thead", "", head), element("tbody", "", ...rows));
  const made = element("div", "hm-plain-table", wide(table));
  made.dataset["table"] = key;
  if (data.note) made.append(element("p", "hm-hint", typeof data.note === "string" ? data.note : data.note[units]));
  return made;
}

/** A table that may be wider than its place: it scrolls, and shows that there is more. */
export function wide(table: HTMLTableElement): HTMLElement {
  const made = element("div", "hm-wide", table);
  markEdges(made);
  return made;
}

function stateCell(status: Status): HTMLTableCellElement {
  return element("td", `hm-state hm-state-${status.replace(" ", "-")}`, statusSign(status), ` ${status}`);
}

function headCell(word: string): HTMLTableCellElement {
  const cell = element("th", "", word);
  cell.scope = "col";
  return cell;
}
