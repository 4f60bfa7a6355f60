/** What a person at a viewpoint sees of the mast: a look along rays to many points of it. */

import { Vector3 } from "three";
import { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import { hiderOf } from "./sighting.ts";
import type { Viewer } from "./viewer.ts";

const ALONG_MAST = 14;
const ON_ROTOR = 10;
const NEARLY = 0.9; // a mast of which more than this share is hidden is hardly seen
const NOTHING = 0.04;

export interface Seen {
  /** Share of the points of mast and rotor that something hides. */
  hidden: number;
  /** What hides most of them; empty if nothing does. */
  by: string;
}

/** How much of mast and rotor is hidden from an eye, and by what. */
export function seenFrom(viewer: Viewer, eye: Vector3): Seen {
  const places = pointsOfMast(viewer);
  const by = new Map<string, number>();
  for (const place of places) {
    const hider = hiderOf(viewer, eye, place);
    if (hider) by.set(hider, (by.get(hider) ?? 0) + 1);
  }
  const most = [...by].sort((a, b) => b[1] - a[1]);
  const count = most.reduce((sum, [, n]) => sum + n, 0);
  return { hidden: count / Math.max(1, places.length), by: most[0]?.[0] ?? "" };
}

/** The same in words; empty where all of it is seen. */
export function seenWords({ hidden, by }: Seen): string {
  if (hidden < NOTHING) return "";
  if (hidden === 1) return `hidden from here by ${by}`;
  return hidden > NEARLY ? `almost hidden from here by ${by}` : `partly hidden from here by ${by}`;
}

function pointsOfMast(viewer: Viewer): Vector3[] {
  const top = viewer.place("mast top");
  if (!top) return [];
  const found = Array.from({ length: ALONG_MAST }, (_, k) => top.clone().multiplyScalar((k + 1) / ALONG_MAST));
  for (const thing of viewer.rig.mast.things) {
    if (!(thing instanceof LineSegments2) || thing.userData["role"] !== "rotor" || !thing.visible) continue;
    const start = thing.geometry.getAttribute("instanceStart");
    const step = Math.max(1, Math.floor(start.count / ON_ROTOR));
    thing.updateWorldMatrix(true, false);
    for (let k = 0; k < start.count; k += step) found.push(new Vector3().fromBufferAttribute(start, k).applyMatrix4(thing.matrixWorld));
    break;
  }
  return found;
}
