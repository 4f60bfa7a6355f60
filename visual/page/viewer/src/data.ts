/** The data object that a viewer shows: what `visual/page/data.py` makes. Angles are degrees. */

export type Units = "metric" | "imperial";
export type Status = "stop" | "not checked" | "caution" | "ok";
export type Triple = [number, number, number];

/** An array as a short text; see `visual/page/packing.py`. */
export interface Packed {
  as: "f4" | "u2" | "u4" | "q2";
  shape: number[];
  data: string;
  from?: number[];
  step?: number[];
}

export interface Role {
  word: string;
  color: string;
  opacity: number;
  width: number;
  dash: number[];
  swatch: string;
  lit: boolean;
  casing: number;
}

interface LayerBase {
  role: string;
  group: string;
  name: string;
  motion: "fixed" | "mast" | "pose";
  /** Drawn for readers of these units only. */
  units?: Units;
}

export interface MeshLayer extends LayerBase {
  kind: "mesh";
  points: Packed;
  triangles: Packed;
}

export interface LineLayer extends LayerBase {
  kind: "line";
  points: Packed;
  counts: Packed;
}

export type MarkShape = "dot" | "ring" | "cross" | "triangle" | "square" | "diamond";

export interface MarkLayer extends LayerBase {
  kind: "mark";
  at: Packed;
  shape: MarkShape;
}

export interface LabelLayer extends LayerBase {
  kind: "label";
  text: string;
  /** The text in the other system of units, where it differs. */
  other?: string;
  at: Triple;
  priority: number;
  tells: "name" | "dimension" | "angle" | "height" | "warning" | "number";
  choice: string;
  over: boolean;
  along?: Triple;
}

export type Layer = MeshLayer | LineLayer | MarkLayer | LabelLayer;

export interface GroundData {
  /** Two grounds with the same key are the same. */
  key: string;
  west: number;
  south: number;
  step: number;
  rows: number;
  columns: number;
  heights: Packed;
  picture: string;
}

/** A layer with another shape at every angle; `table` is (angles, points, 3). */
export interface Track {
  kind: "mesh" | "line";
  group: string;
  name: string;
  roles: string[];
  roleAt: Packed;
  table: Packed;
  triangles?: Packed;
  counts?: Packed;
}

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
  limits: { name: string; values: Packed }[];
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
  clip?: { at: Triple; normal: Triple };
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

export interface Brief {
  /** From the ground to the highest point of the rotor, to the mast top; and how far a fall reaches. */
  total: Record<Units, string>;
  mast: Record<Units, string>;
  reach: Record<Units, string>;
  /** What a falling mast can reach: numbers of findings, each with it in words. */
  falls: { finding: number; text: Record<Units, string> }[];
  when: string | null;
  contact: string | null;
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
  roles: Record<string, Role>;
  groups: { key: string; word: string }[];
  around: { offset: Triple; ground: GroundData; layers: Layer[] };
  layers: Layer[];
  rig: RigData;
  chart: ChartData;
  findings: Finding[];
  approaches: Approach[];
  forces: ForcesData | null;
  views: ViewData[];
  facts?: Record<string, Fact>;
  sun?: Sunlight | null;
  /** Named places that stay: base, anchors, buildings. */
  points?: Record<string, Triple>;
}

/** Return the numbers of a packed array; NaN where a number is not known. */
export function unpack(packed: Packed): Float32Array | Uint16Array | Uint32Array {
  const bytes = bytesOf(packed.data);
  if (packed.as === "f4") return new Float32Array(bytes.buffer);
  if (packed.as === "u2") return new Uint16Array(bytes.buffer);
  if (packed.as === "u4") return new Uint32Array(bytes.buffer);
  return spread(new Uint16Array(bytes.buffer), packed);
}

/** Return the numbers of a packed array as floats. */
export function floats(packed: Packed): Float32Array {
  const numbers = unpack(packed);
  return numbers instanceof Float32Array ? numbers : Float32Array.from(numbers);
}

function spread(whole: Uint16Array, packed: Packed): Float32Array {
  const from = packed.from ?? [0];
  const step = packed.step ?? [1];
  const width = from.length;
  const numbers = new Float32Array(whole.length);
  for (let i = 0; i < whole.length; i++) {
    const k = i % width;
    const value = whole[i] as number;
    numbers[i] = value === 65535 ? NaN : (from[k] as number) + (step[k] as number) * value;
  }
  return numbers;
}

function bytesOf(text: string): Uint8Array<ArrayBuffer> {
  const binary = atob(text);
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; i++) bytes[i] = binary.charCodeAt(i);
  return bytes;
}
