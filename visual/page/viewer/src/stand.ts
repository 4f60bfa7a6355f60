/** Where the eye stands for a view, so that what the view is about fills the picture. */

import { Vector3 } from "three";
import type { Triple, ViewData } from "./data.ts";

export interface Stand {
  target: Vector3;
  /** Direction from target to eye: clockwise from north. [rad] */
  bearing: number;
  /** The same, above the level. [rad] */
  height: number;
  distance: number;
  /** Vertical angle of view. [rad] */
  fieldOfView: number;
  flat: boolean;
  /** The picture is moved up by this share of half its height. */
  rise: number;
  /** True if the eye stays where it is and turns. */
  standing: boolean;
}

/** How much of the picture is covered at its edges, as shares of its height. */
export interface Covered {
  top: number;
  bottom: number;
}

const OPEN: Covered = { top: 0, bottom: 0 };

export const STEEPEST = Math.PI / 2 - 1e-4;
export const FLAT_OPENING = (28 * Math.PI) / 180;

/**
 * Return where a view stands, so that what it shows fits into a picture of this shape, clear of
 * what covers it. From a person's place the eye stays and sees more where some is covered.
 */
export function standOf(view: ViewData, aspect: number, covered = OPEN): Stand {
  const target = new Vector3(...view.target);
  const back = new Vector3(...view.eye).sub(target);
  const distance = back.length();
  const level = Math.hypot(back.x, back.y);
  const down = level < 1e-6 * distance;
  const stand: Stand = {
    target,
    bearing: down ? Math.PI : Math.atan2(back.x, back.y),
    height: down ? STEEPEST : Math.atan2(back.z, level),
    distance,
    fieldOfView: (view.fieldOfView * Math.PI) / 180,
    flat: view.projection === "orthographic",
    rise: view.rise,
    standing: view.eyeLevel,
  };
  if (stand.flat) return fitted(stand, view.span, aspect, covered);
  if (view.fits) return filled(stand, view.fits, aspect, covered);
  return stand.standing ? opened(narrowed(stand, aspect), covered) : cleared(narrowed(stand, aspect), covered);
}

/** Whether a stand looks straight down without perspective: what is seen there is level. */
export function isPlan({ flat, height }: Pick<Stand, "flat" | "height">): boolean {
  return flat && height > STEEPEST - 0.01; // turned a little it shows sides too
}

/** Shares of what covers so many pixels: half of the picture at most, to leave something to look at. */
export function coveredShare({ top, bottom }: Covered, height: number): Covered {
  const less = Math.min(1, (0.5 * height) / Math.max(1, top + bottom)) / height;
  return { top: less * top, bottom: less * bottom };
}

/** Return a flat stand that shows a width and a height. [m] */
function fitted(stand: Stand, span: [number, number], aspect: number, covered: Covered): Stand {
  const free = 1 - covered.top - covered.bottom;
  const high = Math.max(span[1] / free, span[0] / aspect);
  const distance = high / 2 / Math.tan(FLAT_OPENING / 2);
  return lifted({ ...stand, fieldOfView: FLAT_OPENING, distance }, covered);
}

/** Return what a person sees, opened so far that all of it is clear of what covers the picture's top. */
function opened(stand: Stand, { top }: Covered): Stand {
  const half = Math.tan(stand.fieldOfView / 2) / (1 - top);
  return { ...stand, fieldOfView: 2 * Math.atan(half), rise: 1 - (1 - stand.rise) * (1 - top) };
}

/** Return a stand so much farther away that what it shows is clear of what covers the picture. */
function cleared(stand: Stand, covered: Covered): Stand {
  return lifted({ ...stand, distance: stand.distance / (1 - covered.top - covered.bottom) }, covered);
}

/** Return a stand that looks higher, so that what was in the middle is in the middle of what is free. */
export function lifted(stand: Stand, covered: Covered): Stand {
  const high = 2 * stand.distance * Math.tan(stand.fieldOfView / 2);
  const { up } = axes(stand);
  return { ...stand, target: stand.target.clone().addScaledVector(up, ((covered.top - covered.bottom) / 2) * high) };
}

/** Unit vectors of the picture: to its right, up, and back to the eye. */
function axes({ bearing, height }: Stand): { right: Vector3; up: Vector3; back: Vector3 } {
  const right = new Vector3(-Math.cos(bearing), Math.sin(bearing), 0);
  const level = new Vector3(Math.sin(bearing), Math.cos(bearing), 0);
  const back = level.multiplyScalar(Math.cos(height)).setZ(Math.sin(height));
  return { right, up: new Vector3().crossVectors(back, right), back };
}

/** Return a stand with the same line of sight from which points just fill the picture. */
export function filled(stand: Stand, points: Triple[], aspect: number, covered: Covered): Stand {
  const { right, up, back } = axes(stand);
  const half = Math.tan(stand.fieldOfView / 2);
  const wide = tightest(points, right, back, 0.9 * half * aspect, 0.9 * half * aspect);
  const high = tightest(points, up, back, half * (0.9 - 2 * covered.top), half * (0.9 - 2 * covered.bottom));
  const away = Math.max(wide.away, high.away);
  const [x, y] = [wide.middle(away), high.middle(away)];
  const near = points.map((one) => new Vector3(...one).dot(back)).sort((a, b) => a - b);
  const distance = Math.max(1, away - (near[near.length >> 1] ?? 0));
  const target = new Vector3()
    .addScaledVector(right, x)
    .addScaledVector(up, y)
    .addScaledVector(back, away - distance);
  return { ...stand, target, distance };
}

/**
 * How far back the eye stands so that all points just fit between two slopes of sight, and where
 * along the axis it stands, so far back or farther, with as much room on one side as on the other.
 */
function tightest(
  points: Triple[],
  side: Vector3,
  back: Vector3,
  above: number,
  below: number,
): { away: number; middle: (away: number) => number } {
  let [high, low] = [-Infinity, Infinity];
  for (const one of points) {
    const point = new Vector3(...one);
    const [a, b] = [point.dot(side), point.dot(back)];
    high = Math.max(high, a + above * b);
    low = Math.min(low, a - below * b);
  }
  const away = (high - low) / (above + below);
  return { away, middle: (far) => (high - above * far + low + below * far) / 2 };
}

/** Step back, or open the view of a standing person, where the picture is narrower than planned. */
function narrowed(stand: Stand, aspect: number): Stand {
  const planned = 1.385;
  if (aspect >= planned) return stand;
  const wider = planned / aspect;
  if (!stand.standing) return { ...stand, distance: stand.distance * wider };
  const half = Math.min(Math.tan(stand.fieldOfView / 2) * wider, 1.2);
  return { ...stand, fieldOfView: 2 * Math.atan(half) };
}
