/** Two fingers on the drawing: what lies between them stays between them. */

import { Vector2, Vector3 } from "three";
import { clamp } from "./eye.ts";
import type { Stage } from "./stage.ts";

/** The line of sight through a pixel, and the ground under it. */
export interface Sight {
  ray(at: Vector2): { from: Vector3; way: Vector3 };
  groundAt(at: Vector2): Vector3 | null;
}

const NEAREST = 0.2; // of the distance of the target: what is nearer or farther than this is
const FARTHEST = 3; // moved as if it stood there, or the scene would leap under the fingers

export class TwoFingers {
  private readonly stage: Stage;
  private readonly sight: Sight;
  private place = new Vector3();
  private apart = 1;

  constructor(stage: Stage, sight: Sight) {
    this.stage = stage;
    this.sight = sight;
  }

  /** Take hold of what is between two pixels. */
  begin(a: Vector2, b: Vector2): void {
    const { eye, width, height } = this.stage;
    eye.apply(width / height);
    this.apart = gap(a, b);
    this.place = this.between(middle(a, b));
  }

  /** Bring it between two other pixels. */
  move(a: Vector2, b: Vector2): void {
    const { eye, width, height } = this.stage;
    const apart = gap(a, b);
    eye.zoom(this.apart / apart, this.place);
    this.apart = apart;
    eye.apply(width / height);
    const seen = this.place.clone().project(eye.camera);
    const wanted = middle(a, b);
    const deep = this.depth(this.place) / eye.stand.distance;
    const right = wanted.x - ((seen.x + 1) * width) / 2;
    const down = wanted.y - ((1 - seen.y) * height) / 2;
    const scale = eye.stand.flat || eye.stand.standing ? 1 : deep;
    eye.pan(-right * scale, down * scale, height);
  }

  /** Where the ground is under a pixel, but neither too near nor too far away. */
  private between(at: Vector2): Vector3 {
    const { eye } = this.stage;
    const { from, way } = this.sight.ray(at);
    const ground = this.sight.groundAt(at);
    const { distance, flat } = eye.stand;
    if (flat) return ground ?? from.addScaledVector(way, distance);
    const deep = clamp(ground ? this.depth(ground) : distance, NEAREST * distance, FARTHEST * distance);
    return from.addScaledVector(way, deep / -way.dot(eye.back));
  }

  /** How far in front of the eye a place is, along the line of sight. [m] */
  private depth(place: Vector3): number {
    const { eye } = this.stage;
    return eye.position.sub(place).dot(eye.back);
  }
}

function middle(a: Vector2, b: Vector2): Vector2 {
  return a.clone().add(b).multiplyScalar(0.5);
}

/** Fingers that lie side by side count as some way apart: there each pixel would be a leap. */
function gap(a: Vector2, b: Vector2): number {
  return Math.max(24, a.distanceTo(b));
}
