/** Labels and marks, each where it is now. */

import { Vector3 } from "three";
import type { LabelLayer, MarkLayer } from "./layer-data.ts";
import { floats } from "./packed.ts";

/** A label or mark and where it is now. */
export interface Sign {
  layer: LabelLayer | MarkLayer;
  at: Vector3;
}

const unpackedMarks = new WeakMap<MarkLayer, Vector3[]>();

/** Return the places of a mark, free to be changed. */
export function marksOf(layer: MarkLayer): Vector3[] {
  let known = unpackedMarks.get(layer);
  if (!known) {
    known = pointsOf(layer);
    unpackedMarks.set(layer, known);
  }
  return known.map((at) => at.clone());
}

function pointsOf(layer: MarkLayer): Vector3[] {
  const numbers = floats(layer.at);
  const found: Vector3[] = [];
  for (let i = 0; i + 2 < numbers.length; i += 3) {
    found.push(new Vector3(numbers[i], numbers[i + 1], numbers[i + 2]));
  }
  return found;
}
