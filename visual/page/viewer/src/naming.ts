/** What is named in a view, and in which words: nothing that is cut away, or that nobody sees there. */

import { Vector3 } from "three";
import type { PageData } from "./data.ts";
import type { LabelLayer } from "./layer-data.ts";
import { CUT } from "./looks.ts";
import { seenFrom, seenWords } from "./person.ts";
import type { Viewer } from "./viewer.ts";

export class Naming {
  /** Says more than the name of a thing where it stands, if it knows more. */
  rename: (layer: LabelLayer) => LabelLayer = (layer) => layer;
  private readonly viewer: Viewer;
  private seen: { key: string; data: PageData; words: string } | null = null;

  constructor(viewer: Viewer) {
    this.viewer = viewer;
  }

  /** No name without its thing: what a cut leaves out, or hides behind it, is not named. */
  isNamed(layer: LabelLayer, at: Vector3): boolean {
    const { view, stage, ground } = this.viewer;
    if (view?.eyeLevel) return layer.choice === "mast" || layer.choice.startsWith("building ");
    if (!view?.clip || !CUT.has(layer.group)) return true;
    if (stage.cut.distanceToPoint(at) < 0 || stage.far.distanceToPoint(at) < 0) return false;
    const front = stage.cut.projectPoint(at, new Vector3());
    const offset = ground.mesh.position;
    return !(ground.height(front.x - offset.x, front.y - offset.y) + offset.z > at.z);
  }

  /** A name in the words of this view; where a person looks the mast's says so if it is hidden. */
  said(layer: LabelLayer): LabelLayer {
    const hidden = layer.choice === "mast" ? this.seenOfMast : "";
    if (!hidden) return this.rename(layer);
    const text = hidden.startsWith("partly") ? `${layer.text}\n${hidden}` : `mast: ${hidden}`;
    const other = hidden.startsWith("partly") ? `${layer.other ?? layer.text}\n${hidden}` : text;
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
}
