/** What moves: the mast turns about the hinge, everything else takes its place from tables. */

import { Group, Matrix4, Mesh, Vector3 } from "three";
import type { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import type { LineSegmentsGeometry } from "three/addons/lines/LineSegmentsGeometry.js";
import type { RigData } from "./data.ts";
import type { LabelLayer, Track } from "./layer-data.ts";
import { floats, unpack } from "./packed.ts";
import { Drawn, fatLines, meshGeometry, segments } from "./layers.ts";
import type { Looks } from "./looks.ts";

/** A raising angle [deg], or the mast as it is left: standing on all its wires. */
export type Angle = number | "standing";

/** Roles of what is not there on the first raise. */
const HEAD = new Set(["head", "rotor", "rotor_disc"]);

export class Rig {
  readonly root = new Group();
  readonly data: RigData;
  readonly mast: Drawn;
  readonly lifting: Drawn;
  readonly standing: Drawn;
  readonly moving: Drawn;
  angle: Angle = "standing";
  /** The first raise is shown, without the head, at all angles. */
  firstRaise = false;
  private readonly tracks: Moving[];

  constructor(data: RigData, looks: Looks) {
    this.data = data;
    this.mast = new Drawn(looks).add(data.mast);
    this.lifting = new Drawn(looks).add(data.lifting);
    this.standing = new Drawn(looks).add(data.standing);
    this.moving = new Drawn(looks);
    this.tracks = data.tracks.map((track) => new Moving(track, looks, this.moving));
    this.root.add(this.mast.root, this.lifting.root, this.standing.root, this.moving.root);
    this.set("standing");
  }

  get parts(): Drawn[] {
    return [this.mast, this.lifting, this.standing, this.moving];
  }

  get first(): number {
    return this.data.angles[0] ?? 0;
  }

  /** True if the mast is shown without its head: on the first raise, or where only it can lie. */
  get isBare(): boolean {
    const { angle } = this;
    return angle !== "standing" && (this.firstRaise || angle < this.data.headFrom - 1e-6);
  }

  /** Put everything where it is at an angle. */
  set(angle: Angle): void {
    this.angle = angle;
    const raising = angle !== "standing";
    const matrix = this.turn(raising ? angle : 90);
    for (const part of [this.mast, this.lifting]) {
      part.root.matrixAutoUpdate = false;
      part.root.matrix.copy(matrix);
      part.root.matrixWorldNeedsUpdate = true;
    }
    const bare = this.isBare;
    for (const thing of this.mast.things) {
      if (HEAD.has(thing.userData["role"] as string)) thing.visible = !bare;
    }
    this.lifting.root.visible = raising;
    this.moving.root.visible = raising;
    this.standing.root.visible = !raising;
    if (raising) for (const track of this.tracks) track.set(this.row(angle));
  }

  /** Row of the tables at an angle, between two rows where need be. */
  row(angle: number): number {
    const known = this.data.angles;
    if (angle <= this.first) return 0;
    for (let k = 1; k < known.length; k++) {
      const [low, high] = [known[k - 1] as number, known[k] as number];
      if (angle <= high) return k - 1 + (angle - low) / (high - low);
    }
    return known.length - 1;
  }

  /** A named point at the shown angle, from its table; null if there is none. */
  place(name: string): Vector3 | null {
    const packed = this.data.places[name];
    if (!packed) return null;
    const table = floats(packed);
    const row = this.angle === "standing" ? this.data.angles.length - 1 : this.row(this.angle);
    const point = mixed(table, 3, row);
    return new Vector3(...point);
  }

  /** Where a label of the turning parts stands now. */
  turned(label: LabelLayer): Vector3 {
    const at = new Vector3(...label.at);
    return label.motion === "mast" ? at.applyMatrix4(this.mast.root.matrix) : at;
  }

  dispose(): void {
    for (const part of this.parts) part.dispose();
    this.root.removeFromParent();
  }

  /** The turn about the hinge axis from upright to an angle [deg]. */
  private turn(angle: number): Matrix4 {
    const by = ((angle - 90) * Math.PI) / 180;
    // from lying on the back side to upright the mast turns towards the front
    const axis = new Vector3(...this.data.right).negate();
    return new Matrix4().makeRotationAxis(axis, by);
  }
}

class Moving {
  private readonly table: Float32Array;
  private readonly width: number;
  private readonly counts: ArrayLike<number>;
  private readonly roleAt: ArrayLike<number>;
  private readonly looks: { role: string; things: (Mesh | LineSegments2)[] }[];

  constructor(track: Track, looks: Looks, into: Drawn) {
    this.table = floats(track.table);
    this.width = 3 * (track.table.shape[1] as number);
    this.counts = track.counts ? unpack(track.counts) : [];
    this.roleAt = unpack(track.roleAt);
    this.looks = track.roles.map((role) => {
      const things = this.make(track, role, looks);
      for (const thing of things) {
        thing.userData = { name: track.name, role, group: track.group };
        thing.frustumCulled = false;
        into.branch(track.group).add(thing);
        into.things.push(thing);
      }
      return { role, things };
    });
  }

  set(row: number): void {
    const points = Float32Array.from(mixed(this.table, this.width, row));
    const known = Number.isFinite(points[0] as number);
    const role = this.roleAt[Math.round(row)] as number;
    this.looks.forEach(({ things }, number) => {
      for (const thing of things) {
        thing.visible = known && number === role;
        if (thing.visible) this.put(thing, points);
      }
    });
  }

  private make(track: Track, role: string, looks: Looks): (Mesh | LineSegments2)[] {
    const first = Float32Array.from(mixed(this.table, this.width, 0), (v) => (Number.isFinite(v) ? v : 0));
    if (track.kind === "line") {
      return fatLines(looks, role, track.group, segments(first, this.counts));
    }
    const triangles = track.triangles ? unpack(track.triangles) : new Uint16Array();
    const mesh = new Mesh(meshGeometry(first, triangles), looks.face(role, track.group));
    mesh.castShadow = true;
    return [mesh];
  }

  private put(thing: Mesh | LineSegments2, points: Float32Array): void {
    if ("isLineSegments2" in thing) {
      const line = thing as LineSegments2;
      (line.geometry as LineSegmentsGeometry).setPositions(segments(points, this.counts));
      if (line.material.dashed) line.computeLineDistances();
    } else {
      const place = thing.geometry.getAttribute("position");
      (place.array as Float32Array).set(points);
      place.needsUpdate = true;
      thing.geometry.computeBoundingSphere();
    }
  }
}

/** Return one row of a table, straight between its two neighbours. */
export function mixed(table: Float32Array, width: number, row: number): [number, number, number] {
  const low = Math.floor(row);
  const share = row - low;
  const found: number[] = [];
  for (let i = 0; i < width; i++) {
    const a = table[low * width + i] as number;
    const b = share > 0 ? (table[(low + 1) * width + i] as number) : a;
    found.push(share > 0 ? a + share * (b - a) : a);
  }
  return found as [number, number, number];
}
