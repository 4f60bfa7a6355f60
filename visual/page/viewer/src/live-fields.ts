/** The keys of the site file as fields, with their units; what is wrong stands beside its field. */

import { button, element } from "./dom.ts";
import { fieldWord, groupWord, tableOf } from "./live-words.ts";
import type { Field, Problem } from "./live-types.ts";

/** Tables in the order in which one works with them; the others come after, closed. */
const FIRST = ["mast", "mast.section", "mast.collar", "mast.head", "anchors", "gin_pole", "tow"];
const OPEN = ["mast", "mast.section", "mast.collar", "anchors", "gin_pole"];
const LISTS = ["mast.section", "mast.collar"];
/** Shown though they are left out: what one would look for. */
const USUAL = new Set(["radius", "turn", "capacity", "grip", "driven_share", "share_of_breaking"]);
const HIDDEN = new Set(["format", "site.crs", "ground.dem", "ground.survey", "ground.image"]);

type Input = HTMLInputElement | HTMLSelectElement;

interface Row {
  root: HTMLElement;
  input: Input;
  was: HTMLElement;
  wrong: HTMLElement;
  text: string;
}

export class Fields {
  readonly root = element("div", "hm-live-fields");
  private readonly rows = new Map<string, Row>();
  private readonly send: (values: Record<string, string>) => Promise<boolean>;
  private readonly tables: (changes: Record<string, unknown>) => void;
  private shape = "";
  private fields: Field[] = [];

  constructor(
    send: (values: Record<string, string>) => Promise<boolean>,
    tables: (changes: Record<string, unknown>) => void,
  ) {
    this.send = send;
    this.tables = tables;
  }

  fill(fields: Field[]): void {
    this.fields = fields.filter((field) => !HIDDEN.has(field.key));
    const shape = this.fields.map((field) => field.key).join(" ");
    if (shape !== this.shape) {
      this.shape = shape;
      this.build();
    }
    for (const field of this.fields) this.renew(field);
  }

  /** Show what is wrong beside its field; return what belongs to no field. */
  complain(problems: Problem[]): Problem[] {
    for (const row of this.rows.values()) row.wrong.textContent = "";
    const left: Problem[] = [];
    for (const problem of problems) {
      const row = this.rows.get(problem.key) ?? this.rows.get(`${problem.key}[1]`);
      if (!row) {
        left.push(problem);
        continue;
      }
      row.wrong.textContent = `${problem.rule}; ${problem.way_out}.`;
      row.input.setAttribute("aria-invalid", "true");
      unfold(row.root);
    }
    return left;
  }

  /** Show the field of a key and put the cursor in it; false if there is none. */
  lead(key: string): boolean {
    const row = this.rows.get(key);
    if (!row) return false;
    unfold(row.root);
    row.root.scrollIntoView({ block: "center" });
    row.input.focus({ preventScroll: true });
    row.root.classList.add("hm-live-wanted");
    row.input.addEventListener("blur", () => row.root.classList.remove("hm-live-wanted"), { once: true });
    return true;
  }

  private build(): void {
    const opened = new Set([...this.root.querySelectorAll("details")].filter((one) => one.open).map((one) => one.dataset["table"]));
    const fresh = this.rows.size === 0;
    this.rows.clear();
    const tables = new Map<string, Field[]>();
    for (const field of this.fields) {
      const table = field.key.includes(".position[") ? tableOf(tableOf(`${field.key}.`)) : tableOf(field.key);
      tables.set(table, [...(tables.get(table) ?? []), field]);
    }
    const order = [...tables.keys()].sort((a, b) => rank(a) - rank(b));
    this.root.replaceChildren(
      element("p", "hm-hint", "A bare number takes the unit that stands there. Empty: the key is left out."),
      ...order.map((table) => {
        const open = fresh ? OPEN.includes(listOf(table)) : opened.has(table);
        return this.fold(table, tables.get(table) ?? [], open);
      }),
    );
  }

  private fold(table: string, fields: Field[], open: boolean): HTMLElement {
    const made = element("details", "", element("summary", "", groupWord(table)));
    made.dataset["table"] = table;
    made.open = open;
    const wanted = (field: Field): boolean => field.text !== "" || field.saved !== "" || USUAL.has(field.key.replace(/^.*\./, ""));
    made.append(...fields.filter(wanted).map((field) => this.row(field)));
    const rest = fields.filter((field) => !wanted(field));
    if (rest.length) made.append(element("details", "", element("summary", "", "more keys"), ...rest.map((field) => this.row(field))));
    if (LISTS.includes(listOf(table)) && table !== listOf(table)) made.append(this.entryButtons(table));
    return made;
  }

  private entryButtons(table: string): HTMLElement {
    const list = listOf(table);
    const count = new Set(this.fields.filter((one) => one.key.startsWith(`${list}[`)).map((one) => tableOf(one.key))).size;
    const number = Number(/\[(\d+)\]$/.exec(table)?.[1] ?? 1);
    const row = element("div", "hm-live-entry");
    if (count > 1) row.append(button("Remove", () => this.tables({ [table]: null })));
    if (number === count) row.append(button("Add one like it", () => this.tables({ [`${list}[${count + 1}]`]: this.like(table) })));
    return row;
  }

  private like(table: string): Record<string, string | number> {
    const found: Record<string, string | number> = {};
    for (const field of this.fields) {
      if (tableOf(field.key) !== table || !field.text) continue;
      const key = field.key.slice(table.length + 1);
      found[key] = field.kind === "count" || field.kind === "number" ? Number(field.text) : field.text;
    }
    if (listOf(table) === "mast.collar" && typeof found["height"] === "string") {
      const parts = /^([\d.]+) (.*)$/.exec(found["height"]);
      if (parts) found["height"] = `${(Number(parts[1]) * 0.6).toFixed(1)} ${parts[2]}`;
    }
    return found;
  }

  private row(field: Field): HTMLElement {
    const input = field.kind === "choice" || field.kind === "switch" ? choice(field) : line(field);
    const unit = field.unit === "°" ? " °" : "";
    const word = element("label", "", fieldWord(field.key) + unit);
    word.title = field.meaning;
    input.id = `hm-live-${field.key}`;
    word.htmlFor = input.id;
    const was = element("span", "hm-live-was");
    const wrong = element("p", "hm-live-wrong");
    wrong.id = `${input.id}-wrong`;
    wrong.setAttribute("role", "alert");
    input.setAttribute("aria-describedby", wrong.id);
    input.dataset["key"] = field.key;
    input.addEventListener("change", () => void this.change(field.key, input.value));
    const root = element("div", "hm-live-field", word, input, was, wrong);
    this.rows.set(field.key, { root, input, was, wrong, text: "" });
    return root;
  }

  /** Send what was typed; what was not taken, for no fault of its own, is not left standing. */
  private async change(key: string, value: string): Promise<void> {
    const taken = await this.send({ [key]: value });
    const row = this.rows.get(key);
    if (!taken && row && row.input.value === value && !row.wrong.textContent) row.input.value = row.text;
  }

  private renew(field: Field): void {
    const row = this.rows.get(field.key);
    if (!row) return;
    // what a person is typing, or typed wrongly, is not overwritten by an answer to something else
    const typing = document.activeElement === row.input && row.input.value !== row.text && row.text === field.text;
    const wrong = row.wrong.textContent !== "" && row.text === field.text;
    if (!typing && !wrong) {
      row.input.value = field.text;
      row.input.removeAttribute("aria-invalid");
    }
    row.text = field.text;
    row.was.textContent = field.text === field.saved ? "" : `was ${field.saved || "left out"}`;
    row.root.classList.toggle("hm-live-moved", field.text !== field.saved);
  }
}

function unfold(row: HTMLElement): void {
  for (let fold = row.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
}

function listOf(table: string): string {
  return table.replace(/\[\d+\]$/, "");
}

function rank(table: string): number {
  const place = FIRST.findIndex((first) => first === listOf(table) || table.startsWith(`${first}.`) && first !== "mast");
  return place < 0 ? FIRST.length : place;
}

function line(field: Field): HTMLInputElement {
  const input = element("input");
  input.type = "text";
  input.autocomplete = "off";
  input.spellcheck = false;
  input.placeholder = field.default || field.unit;
  return input;
}

function choice(field: Field): HTMLSelectElement {
  const input = element("select");
  const words = field.kind === "switch" ? ["true", "false"] : field.choices;
  for (const word of ["", ...words]) {
    const shown = word === "true" ? "yes" : word === "false" ? "no" : word.replace(/_/g, " ");
    const option = element("option", "", shown || `${field.default.replace("true", "yes").replace("false", "no") || "not given"} (left out)`);
    option.value = word;
    input.append(option);
  }
  return input;
}
