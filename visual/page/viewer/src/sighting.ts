/** Where to stand to see several places at once, and from where fewest of them are hidden. */

import { Raycaster, Vector3 } from "three";
import type { Triple } from "./data.ts";
import { type Covered, filled, FLAT_OPENING, type Stand } from "./stand.ts";
import type { Viewer } from "./viewer.ts";

const HEIGHTS = [0.42, 0.6, 0.85];
const ROUND = 12;
const SQUARE = 0.35; // how much it pays to look square to the line between the first two places

/** What hides a place from an eye: its name, "the ground", or nothing. */
export function hiderOf(viewer: Viewer, eye: Vector3, place: Vector3): string | null {
  const away = eye.distanceTo(place);
  if (away < 0.5) return null;
  const way = place.clone().sub(eye).divideScalar(away);
  const caster = new Raycaster(eye, way, 0.1, Math.max(0.2, away - 0.4));
  const met = caster.intersectObjects(viewer.things.buildings(), false)[0];
  if (met) return `${met.object.userData["name"]}`;
  const offset = viewer.ground.mesh.position;
  return viewer.ground.hides(eye.clone().sub(offset), place.clone().sub(offset)) ? "the ground" : null;
}

/**
 * Return a stand that frames points, from where the places that matter can be seen. Rather from
 * where the eye is now than from behind, and rather square to the line from the first place to
 * the last.
 */
export function standAround(viewer: Viewer, points: Triple[], matters: Vector3[], covered: Covered): Stand {
  const { stage } = viewer;
  const aspect = stage.width / stage.height;
  const [a, b] = [matters[0], matters[matters.length - 1]];
  const along = a && b ? Math.atan2(b.x - a.x, b.y - a.y) : 0;
  let best: Stand | null = null;
  let most = -Infinity;
  for (let k = 0; k < ROUND; k++) {
    const bearing = along + Math.PI / 2 + (k * 2 * Math.PI) / ROUND;
    for (const height of HEIGHTS) {
      const stand = filled({ ...START, bearing, height }, points, aspect, covered);
      const score = SQUARE * Math.abs(Math.cos((k * 2 * Math.PI) / ROUND)) - 0.5 * height + 0.15 * Math.cos(bearing - stage.eye.stand.bearing) - hiddenShare(viewer, stand, matters);
      if (score > most) [best, most] = [stand, score];
    }
  }
  return best ?? filled(START, points, aspect, covered);
}

const START: Stand = { target: new Vector3(), bearing: Math.PI, height: 0.5, distance: 100, fieldOfView: FLAT_OPENING, flat: false, rise: 0, standing: false };

function hiddenShare(viewer: Viewer, stand: Stand, matters: Vector3[]): number {
  const back = new Vector3(Math.sin(stand.bearing) * Math.cos(stand.height), Math.cos(stand.bearing) * Math.cos(stand.height), Math.sin(stand.height));
  const eye = stand.target.clone().addScaledVector(back, stand.distance);
  const offset = viewer.ground.mesh.position;
  const ground = viewer.ground.height(eye.x - offset.x, eye.y - offset.y) + offset.z;
  if (Number.isFinite(ground) && eye.z < ground + 2) return 10;
  const hidden = matters.filter((place) => hiderOf(viewer, eye, place.clone().setZ(place.z + 0.6)) !== null);
  return hidden.length / Math.max(1, matters.length);
}
