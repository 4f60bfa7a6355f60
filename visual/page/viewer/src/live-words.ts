/** Words of the live view. */

import type { Units } from "./data.ts";

export function roundText(metres: number, units: Units): string {
  if (units === "metric") return `${metres.toFixed(2)} m`;
  const inches = Math.round(metres / 0.0254);
  return `${Math.floor(inches / 12)} ft ${inches % 12} in`;
}

const GROUPS: Record<string, string> = {
  mast: "Mast",
  "mast.head": "Head",
  anchors: "Anchors, all four",
  "anchors.front": "Front anchor",
  "anchors.right": "Right anchor",
  "anchors.back": "Back anchor",
  "anchors.left": "Left anchor",
  gin_pole: "Gin pole",
  tow: "Tow line and vehicle",
  site: "Site",
  ground: "Ground",
  surroundings: "Surroundings",
  tension: "Tension",
  turnbuckle: "Turnbuckles",
  limits: "Limits",
  "limits.overhead_line": "Limit: overhead lines",
};

/** The table that a key stands in: `mast.section[2]` of `mast.section[2].wall`. */
export function tableOf(key: string): string {
  return key.replace(/\.[^.]*$/, "");
}

export function groupWord(table: string): string {
  const known = GROUPS[table];
  if (known) return known;
  const list = /^(?:mast|limits)\.(\w+)\[(\d+)\]$/.exec(table);
  if (list) return `${capital(list[1] ?? "")} ${list[2]}`;
  const wire = /^wire\.(.+)$/.exec(table);
  return wire ? `Wire “${wire[1]}”` : capital(table);
}

export function fieldWord(key: string): string {
  const coordinate = /\.position\[([12])\]$/.exec(key);
  if (coordinate) return coordinate[1] === "1" ? "Easting" : "Northing";
  const part = /\.(\w+)\[([12])\]$/.exec(key);
  if (part) return `${capital(part[1] ?? "")}, ${part[2] === "1" ? "least" : "most"}`;
  return capital(key.replace(/^.*\./, ""));
}

/** What leads to the field of a key: `Give it: Tow line and vehicle, Shackle load`. */
export function giveWord(key: string): string {
  return `Give it: ${groupWord(tableOf(key))}, ${fieldWord(key).toLowerCase()}`;
}

function capital(word: string): string {
  const plain = word.replace(/_/g, " ");
  return `${plain.slice(0, 1).toUpperCase()}${plain.slice(1)}`;
}
