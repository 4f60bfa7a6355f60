/** What the server answers about other places and bearings; see `visual/app/found_data.py`. */

import type { BothUnits, Status } from "./data.ts";
import type { Role } from "./layer-data.ts";
import type { Problem } from "./live-types.ts";

export interface Progress {
  doing: string;
  done: number;
  total: number;
  /** Seconds until this step is done, or null where that is not known. */
  left: number | null;
  /** What else is to be said of it. */
  note: string;
}

export interface Looked {
  number: number;
  running: boolean;
  progress: Progress | null;
  problems: Problem[];
  stopped: boolean;
  /** Found for an earlier state of the site. */
  old: boolean;
}

export interface Bearing {
  works: boolean;
  /** Share of the tightest limit; null where it is not known. */
  left: number | null;
  text: string;
}

export interface Span {
  first: number;
  last: number;
  text: string;
  best: number | null;
  left: number | null;
}

export interface Rose {
  turn: number;
  /** Why nothing works here whatever the bearing; empty if that is not so. */
  place: string;
  best: number | null;
  bearings: Bearing[];
  spans: Span[];
}

export interface FinderState {
  /** Of the site, that this was told for. */
  version: number;
  search: Looked;
  rose: Looked & { found: Rose | null };
  /** A search of another site is running. */
  elsewhere: boolean;
}

export interface Said {
  kind: "works" | "fails" | "lost";
  check: string;
  text: BothUnits;
  area: BothUnits;
  share: number;
}

export interface FoundPlace {
  rank: number;
  at: [number, number];
  front: number;
  left: number;
  tightest: string;
  stops: number;
  cautions: number;
  unchecked: number;
  findings: { check: string; subject: string; status: Status; message: BothUnits }[];
}

/** What a search found, in the local frame of the version that was asked for. */
export interface Found {
  number: number;
  shape: [number, number];
  first: [number, number];
  down: [number, number];
  right: [number, number];
  share: string;
  bearing: string;
  reason: string;
  turn: number;
  step: number;
  complete: boolean;
  area: BothUnits;
  works: BothUnits | null;
  works_share: number;
  reasons: Said[];
  places: FoundPlace[];
  roles: Record<string, Role>;
}
