/** What is drawn: layers with their looks, the ground, and layers that change with the angle. */

import type { Triple, Units } from "./data.ts";
import type { Packed } from "./packed.ts";

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
