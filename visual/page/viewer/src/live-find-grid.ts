/** The places of a search: which one is where, and what is said there. */

import type { BothUnits, Units } from "./data.ts";
import type { Found, Said } from "./live-find-types.ts";

const NONE = 255;

export interface Spot {
  row: number;
  column: number;
  kind: Said["kind"];
  text: BothUnits;
  /** Share that the best bearing leaves, and that bearing in degrees; where one works. */
  left: number;
  front: number;
}

export class Grid {
  readonly rows: number;
  readonly columns: number;
  readonly found: Found;
  private readonly share: Uint8Array;
  private readonly bearing: Uint8Array;
  private readonly reason: Uint8Array;

  constructor(found: Found) {
    this.found = found;
    [this.rows, this.columns] = found.shape;
    this.share = bytes(found.share);
    this.bearing = bytes(found.bearing);
    this.reason = bytes(found.reason);
  }

  /** Row and column of a place, with parts. */
  place(x: number, y: number): [number, number] {
    const { first, down, right } = this.found;
    const [u, v] = [x - first[0], y - first[1]];
    const turned = right[0] * down[1] - right[1] * down[0];
    return [(right[0] * v - right[1] * u) / turned, (down[1] * u - down[0] * v) / turned];
  }

  /** Where a row and column lie. */
  at(row: number, column: number): [number, number] {
    const { first, down, right } = this.found;
    return [first[0] + row * down[0] + column * right[0], first[1] + row * down[1] + column * right[1]];
  }

  /** First and last row and column of the land that is not lost; of all of it if all is. */
  extent(): [[number, number], [number, number]] {
    let [top, left, low, right] = [Infinity, Infinity, -1, -1];
    for (let row = 0; row < this.rows; row++) {
      for (let column = 0; column < this.columns; column++) {
        const kind = this.kind(row, column);
        if (!kind || kind === "lost") continue;
        [top, low] = [Math.min(top, row), Math.max(low, row)];
        [left, right] = [Math.min(left, column), Math.max(right, column)];
      }
    }
    return low < 0 ? [[0, 0], [this.rows, this.columns]] : [[top, left], [low, right]];
  }

  /** What is said at the place nearest to this one; null where nothing was looked at. */
  spot(x: number, y: number): Spot | null {
    const [row, column] = this.place(x, y).map(Math.round) as [number, number];
    const kind = this.kind(row, column);
    if (!kind) return null;
    const k = row * this.columns + column;
    const said = this.found.reasons[this.reason[k] as number] as Said;
    const front = (this.bearing[k] as number) * this.found.turn;
    return { row, column, kind, text: said.text, left: (this.share[k] as number) / 100, front };
  }

  kind(row: number, column: number): Said["kind"] | null {
    if (row < 0 || column < 0 || row >= this.rows || column >= this.columns) return null;
    const k = row * this.columns + column;
    if (this.bearing[k] !== NONE) return "works";
    const said = this.found.reasons[this.reason[k] ?? NONE];
    // a place that no bearing is known for must never look as if one worked
    return !said ? null : said.kind === "works" ? "fails" : said.kind;
  }

  /** Look of a place: one of the roles, or null. */
  role(row: number, column: number): string | null {
    const kind = this.kind(row, column);
    if (kind !== "works") return kind && `search_${kind}`;
    return workingRole((this.share[row * this.columns + column] as number) / 100);
  }
}

/** Look of a place or bearing that works and leaves this share. */
export function workingRole(left: number): string {
  const step = [75, 50, 25].find((one) => 100 * left >= one) ?? 0;
  return `search_${step}`;
}

/** What is said at a place, as one sentence. */
export function spotText(spot: Spot, units: Units): string {
  const why = spot.text[units];
  if (spot.kind === "works") return `Works, front to ${bearingText(spot.front)}: ${leftText(spot.left)}. Tightest: ${why}.`;
  return spot.kind === "lost" ? `Lost: ${why}.` : `No bearing works here: ${why}.`;
}

export function leftText(left: number | null): string {
  return left === null ? "not known" : `${Math.floor(100 * left + 1e-6)} % to spare`;
}

export function bearingText(degrees: number): string {
  return `${(((Math.round(degrees * 10) / 10) % 360) + 360) % 360}°`;
}

/** About how far a place is away. */
export function awayText(metres: number, units: Units): string {
  if (units === "imperial") return `${Math.round(metres / 0.3048)} ft`;
  return `${metres < 10 ? metres.toFixed(1) : Math.round(metres)} m`;
}

const WINDS = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];

/** The direction of a place in words. */
export function windWord(x: number, y: number): string {
  const turn = (Math.atan2(x, y) / (Math.PI / 4) + 8) % 8;
  return WINDS[Math.round(turn) % 8] as string;
}

function bytes(text: string): Uint8Array {
  return Uint8Array.from(atob(text), (one) => one.charCodeAt(0));
}
