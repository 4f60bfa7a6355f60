/** The data object that a viewer shows: what `visual/page/data.py` makes. Angles are degrees. */

import type { GroundData, Layer, Role, Track } from "./layer-data.ts";
import type { Packed } from "./packed.ts";

export type Units = "metric" | "imperial";
export type Status = "stop" | "not checked" | "caution" | "ok";
export type Triple = [number, number, number];

export interface RigData {
  forward: Triple;
  right: Triple;
  angles: number[];
  /** The lowest angle at which the mast can lie with its head on; below it is drawn bare. */
  headFrom: number;
  mast: Layer[];
  lifting: Layer[];
  standing: Layer[];
  tracks: Track[];
  places: Record<string, Packed>;
}

export interface Series {
  word: string;
  /** The raise that it is of, where there are two, and the angle from which it is. */
  run?: string;
  from?: number;
  unit: string;
  values: Packed;
}

export interface Curve {
  name: string;
  thin: boolean;
  /** True if it is of the first raise, without the head. */
  bare: boolean;
  values: Packed;
  worst: { angle: number; value: number } | null;
}

export interface Band {
  kind: "balance" | "stop" | "unknown" | "bare";
  word: string;
  from: number;
  to: number;
}

export interface ChartData {
  title: string;
  curves: Curve[];
  /** What the pull must stay below, and what that rests on. */
  limits: { name: string; about?: BothUnits; values: Packed }[];
  bands: Band[];
  series: Series[];
  /** The same of the first raise, without the head; null if there is but one raise. */
  bareSeries: Series[] | null;
}

export type BothUnits = Record<Units, string>;

export interface Finding {
  check: string;
  subject: string;
  status: Status;
  value: BothUnits | null;
  limit: BothUnits | null;
  margin: BothUnits | null;
  angle: number | null;
  where: Triple | null;
  /** Ends of the shortest line between a part and what it comes near. */
  gap: [Triple, Triple] | null;
  message: BothUnits;
  basis: string;
  /** Who asks for it. */
  reader: "permit" | "crew" | "rest";
  /** The line whose length it is about, where that is one on the ground; `key` as in `Nearby`. */
  apart?: { key: string; ends: [Triple, Triple]; length: BothUnits } | null;
  /** Key of the site file that would let it be checked; empty if there is none. */
  missing: string;
}

export interface ViewData {
  name: string;
  word: string;
  projection: "perspective" | "orthographic";
  eye: Triple;
  target: Triple;
  up: Triple;
  span: [number, number];
  fieldOfView: number;
  rise: number;
  eyeLevel: boolean;
  angle: number | null;
  /** Groups that this view brings with it, and those it leaves out. */
  shows: string[];
  /** Groups whose names are not written in it. */
  hushes: string[];
  hides: string[];
  /** Points that must be seen whatever the shape of the picture. */
  fits: Triple[] | null;
  /** A cut; what lies farther behind it than `depth` is left out. [m] */
  clip?: { at: Triple; normal: Triple; depth: number };
  /** What is left out so, each with how far behind it stands. */
  leftOut?: { name: string; text: BothUnits }[];
}

/** What stands near, and how far it is from the mast's foot. */
export interface Nearby {
  /** Group and name of its layer. */
  key: string;
  name: string;
  kind: string;
  /** From the foot of the mast to the nearest place of it. */
  ends: [Triple, Triple];
  text: BothUnits;
  /** The same with the word from where. */
  said: BothUnits;
  /** Points that show it. */
  fits: Triple[];
}

/** The nearest that anything comes to one obstacle. */
export interface Approach {
  subject: string;
  /** The raises on which it is so: with all that is mounted, and the first one, without the head. */
  raises: ("loaded" | "bare")[];
  angle: number;
  ends: [Triple, Triple];
  /** The ball that the rotor can reach, where it is the part. */
  reach: { centre: Triple; radius: number } | null;
  role: "worst" | "worst_clear";
  /** The one that needs a picture most. */
  worst: boolean;
  /** Shown for its finding only. */
  far: boolean;
  length: BothUnits;
  text: BothUnits;
}

/** One force at every angle; `table` is (angles, 6): place [m] and force [N], NaN if not known. */
export interface ForceData {
  key: string;
  names: string[];
  nameAt: Packed;
  pushes: boolean;
  inside: boolean;
  table: Packed;
}

export interface ForceRun {
  key: "loaded" | "bare";
  word: string;
  forces: ForceData[];
}

export interface ForcesData {
  newtonsPerMetre: Record<Units, number>;
  /** The same in words. */
  scale: BothUnits;
  /** A smaller force is none. [N] */
  least: number;
  runs: ForceRun[];
}

/** What is known of one thing: fixed numbers, and numbers for every raising angle. */
export interface Fact {
  title: string;
  rows: { word: string; text: BothUnits }[];
  series?: Series[];
}

export interface Sunlight {
  /** Where the sun stands through the day, as unit vectors to it. */
  times: { word: string; to: Triple }[];
  note: string;
}

/** The verdict in words. */
export interface Verdict {
  stops: boolean;
  /** Fits the head of the page. */
  short: string;
  /** What stops it, a clause each. */
  wrong: string[];
  more: string[];
}

/** Something that stands around, and the finding that leads there. */
export interface NearThing {
  name: string;
  finding: number | null;
  status: Status | null;
  text: BothUnits;
}

export interface Answer {
  key: string;
  question: string;
  lead: BothUnits;
  more: BothUnits[];
  things: NearThing[];
}

export interface Brief {
  verdict: Verdict;
  answers: Answer[];
  /** What no check is there for, and what the site file does not know. */
  never: string[];
  unknown: string[];
  /** Words of the trade, explained. */
  words: { word: string; means: string }[];
}

/** A text, or one for each system of units. */
export type Cell = string | BothUnits;

export interface TableData {
  title: string;
  head: string[];
  rows: Cell[][];
  note: Cell;
}

/** What goes on paper besides the answers. */
export interface PaperData {
  /** Plans, north up; they are no views of the screen. */
  views: ViewData[];
  /** Where the base is. */
  place: string[];
  tables: Record<string, TableData>;
}

export interface PageData {
  format: number;
  site: {
    name: string;
    date: string;
    standing: string;
    notes: string[];
    /** The same in the other system of units. */
    other: { standing: string; notes: string[] };
    units: Units;
    cautions: string[];
    program: string;
  };
  verdict: Record<Status, number>;
  /** What a neighbour asks first; only in the page to send. */
  brief?: Brief;
  paper?: PaperData;
  roles: Record<string, Role>;
  groups: { key: string; word: string }[];
  around: { offset: Triple; ground: GroundData; layers: Layer[] };
  layers: Layer[];
  rig: RigData;
  chart: ChartData;
  findings: Finding[];
  approaches: Approach[];
  nearby?: Nearby[];
  forces: ForcesData | null;
  views: ViewData[];
  facts?: Record<string, Fact>;
  sun?: Sunlight | null;
  /** Named places that stay: base, anchors, buildings. */
  points?: Record<string, Triple>;
}
