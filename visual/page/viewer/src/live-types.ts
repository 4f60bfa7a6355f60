/** What the server of the live view answers; see `visual/app/`. */

import type { PageData, Status, Triple } from "./data.ts";
import type { Layer } from "./layer-data.ts";

export interface Field {
  key: string;
  kind: "quantity" | "number" | "count" | "coordinate" | "switch" | "choice" | "day" | "text";
  meaning: string;
  text: string;
  unit: string;
  default: string;
  choices: string[];
  saved: string;
}

export interface Problem {
  key: string;
  value: string;
  rule: string;
  way_out: string;
}

export interface LiveNumber {
  name: string;
  label: string;
  is: string;
  was: string;
  changed: boolean;
  fresh?: boolean;
}

export interface LiveFinding {
  check: string;
  subject: string;
  status: Status;
  message: string;
  /** Key of the site file that would let it be checked; empty if there is none. */
  missing: string;
  value_text: string;
  limit_text: string;
  was_status: Status | null;
  was_text: string;
  change: "" | "new" | "worse" | "better" | "moved";
  fresh?: boolean;
}

export type Lead = "place" | "bearing" | "rig" | "findings";

export interface Hint {
  text: string;
  first: Lead | "";
  /** What can be done, the first one first. */
  ways: { lead: Lead; word: string }[];
}

export interface Answer {
  version: number;
  /** False while forces and clearances are still those of an earlier state. */
  whole: boolean;
  counts: Record<Status, number>;
  counts_saved: Record<Status, number>;
  findings: LiveFinding[];
  /** What could be tried where something stops; what it leads to. */
  hint: Hint;
  gone: { check: string; subject: string; status: Status }[];
  numbers: LiveNumber[];
}

export interface State {
  seq: number;
  version: number;
  file: string;
  folder: string;
  /** Data files that are not as they were for the answer. */
  data_changed: string[];
  dirty: boolean;
  can_undo: boolean;
  can_redo: boolean;
  busy: boolean;
  /** What is being worked out or drawn, in words; empty if that is nothing, or takes no time. */
  doing: string;
  outside: "" | "changed" | "gone";
  notice: string;
  problems: Problem[];
  fields: Field[];
  took: number;
  /** How often a search or a rose began or ended. */
  looked: number;
  /** Whether what search and rose have found, if they have, holds for this state. */
  holds: { search: boolean; rose: boolean };
  scene: [number, boolean] | null;
  answer: Answer | null;
}

export interface Handles {
  version: number;
  /** The version that findings, forces and zones are of; older while only the rig is new. */
  judged: number;
  full: boolean;
  level_line: Triple[];
  anchors: { side: string; at: Triple; measured: boolean }[];
  front: number;
}

/** The data object of the viewer, with what can be dragged. */
export interface LiveData extends PageData {
  live: Handles;
}

/** The same as it is sent: the ground is left out where it is known already. */
export interface SentData extends Omit<LiveData, "around"> {
  around: { offset: Triple; ground: { key: string } | PageData["around"]["ground"]; layers: Layer[] | null };
}

export interface SiteEntry {
  key: string;
  file: string;
  name: string;
  problem: string;
}
