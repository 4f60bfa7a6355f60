/** Labels and marks, each where it is now. */

import { Vector3 } from "three";
import type { PageData } from "./data.ts";
import type { LabelLayer, Layer, MarkLayer } from "./layer-data.ts";
import { CUT } from "./layers.ts";
import { floats } from "./packed.ts";
import { seenFrom, seenWords } from "./person.ts";
import type { Viewer } from "./viewer.ts";

/** A label or mark and where it is now. */
export interface Sign {
  layer: LabelLayer | MarkLayer;
  at: Vector3;
}

export class Signs {
  private readonly viewer: Viewer;
  private seen: { key: string; data: PageData; words: string } | null = null;

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

  /** No name without its thing: what a cut leaves out, or hides behind it, is not named. */
  private isLabelled(layer: LabelLayer, at: Vector3): boolean {
    const { view, stage, ground } = this.viewer;
    if (view?.eyeLevel) return layer.choice === "mast" || layer.choice.startsWith("building ");
    if (!view?.clip || !CUT.has(layer.group)) return true;
    if (stage.cut.distanceToPoint(at) < 0 || stage.far.distanceToPoint(at) < 0) return false;
    const front = stage.cut.projectPoint(at, new Vector3());
    const lies = ground.mesh.position;
    return !(ground.height(front.x - lies.x, front.y - lies.y) + lies.z > at.z);
  }

  /** In what a person sees the mast's name says so if it is hidden. */
  private asSeen(layer: LabelLayer): LabelLayer {
    const said = layer.choice === "mast" ? this.seenOfMast : "";
    if (!said) return this.viewer.rename(layer);
    const text = said.startsWith("partly") ? `${layer.text}\n${said}` : `mast: ${said}`;
    const other = said.startsWith("partly") ? `${layer.other ?? layer.text}\n${said}` : text;
    return { ...layer, text, other };
  }

  /** What a person does not see of the mast from the place of the view, in words. */
  get seenOfMast(): string {
    const { viewer } = this;
    const { view, data } = viewer;
    if (!view?.eyeLevel) return "";
    const key = `${view.name} ${viewer.angle} ${viewer.rig.firstRaise} ${viewer.isShown("buildings")}`;
    if (this.seen?.key !== key || this.seen.data !== data) {
      this.seen = { key, data, words: seenWords(seenFrom(viewer, new Vector3(...view.eye))) };
    }
    return this.seen.words;
  }

  private *placed(layer: Layer, offset = new Vector3()): Generator<Sign> {
    const { viewer } = this;
    if (!viewer.isShown(layer.group) || (layer.units && layer.units !== viewer.units)) return;
    if (layer.kind === "label" && !viewer.view?.hushes.includes(layer.group)) {
      const at = viewer.rig.turned(layer).add(offset);
      if (this.isLabelled(layer, at)) yield { layer: this.asSeen(layer), at };
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
