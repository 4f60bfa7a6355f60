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

export class Signs {
  private readonly viewer: Viewer;

  constructor(viewer: Viewer) {
    this.viewer = viewer;
  }

  /** Labels and marks that are to be drawn now, each where it is. */
  *now(): Generator<Sign> {
    const { viewer } = this;
    const { around, layers, rig } = viewer.data;
    for (const more of viewer.extras) yield* more();
    for (const layer of around.layers) yield* this.placed(layer, new Vector3(...around.offset));
    for (const layer of [...layers, ...rig.mast]) yield* this.placed(layer);
    if (viewer.angle === "standing") return;
    for (const layer of rig.lifting) yield* this.placed(layer);
  }

  private *placed(layer: Layer, offset = new Vector3()): Generator<Sign> {
    const { viewer } = this;
    if (!viewer.isShown(layer.group) || (layer.units && layer.units !== viewer.units)) return;
    if (layer.kind === "label" && !viewer.view?.hushes.includes(layer.group)) {
      const at = viewer.rig.turned(layer).add(offset);
      if (viewer.naming.isNamed(layer, at)) yield { layer: viewer.naming.said(layer), at };
    }
    if (layer.kind === "mark") for (const at of marksOf(layer)) yield { layer, at: at.add(offset) };
  }
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
