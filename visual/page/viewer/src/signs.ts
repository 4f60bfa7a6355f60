/** Labels and marks, each where it is now. */

import { Vector3 } from "three";
import type { LabelLayer, Layer, MarkLayer } from "./layer-data.ts";
import { floats } from "./packed.ts";
import type { Viewer } from "./viewer.ts";

/** A label or mark and where it is now. */
export interface Sign {
  layer: LabelLayer | MarkLayer;
  at: Vector3;
}

/** Labels and marks that a viewer is to draw now, each where it is. */
export function* signsOf(viewer: Viewer): Generator<Sign> {
  const { around, layers, rig } = viewer.data;
  for (const more of viewer.extras) yield* more();
  for (const layer of around.layers) yield* placed(viewer, layer, new Vector3(...around.offset));
  for (const layer of [...layers, ...rig.mast]) yield* placed(viewer, layer);
  if (viewer.angle === "standing") return;
  for (const layer of rig.lifting) yield* placed(viewer, layer);
}

function* placed(viewer: Viewer, layer: Layer, offset = new Vector3()): Generator<Sign> {
  if (!viewer.isShown(layer.group) || (layer.units && layer.units !== viewer.units)) return;
  if (layer.kind === "label" && !viewer.view?.hushes.includes(layer.group)) yield { layer, at: viewer.rig.turned(layer).add(offset) };
  if (layer.kind === "mark") for (const at of marksOf(layer)) yield { layer, at: at.add(offset) };
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
