/** Layers as things of the scene, with the look of their roles. */

import { BufferAttribute, BufferGeometry, Group, Mesh, type Object3D } from "three";
import { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import { LineSegmentsGeometry } from "three/addons/lines/LineSegmentsGeometry.js";
import type { Units } from "./data.ts";
import type { Layer, LineLayer, MeshLayer } from "./layer-data.ts";
import type { Looks } from "./looks.ts";
import { floats, unpack } from "./packed.ts";

/** Roles that are drawn over what they lie on, faint things first. */
const FAINT_FIRST = ["required_clearance", "sag_range", "lane", "keep_out", "fall_zone", "rotor_disc"];

/** What is drawn of some layers, with each group in a branch of its own. */
export class Drawn {
  readonly root = new Group();
  /** Every drawn thing of a name, for pointing at it. */
  readonly things: Object3D[] = [];
  private readonly looks: Looks;
  private readonly branches = new Map<string, Group>();
  private rank = 0;

  constructor(looks: Looks) {
    this.looks = looks;
  }

  add(layers: readonly Layer[]): this {
    for (const layer of layers) {
      if (layer.kind === "mesh") this.addMesh(layer);
      if (layer.kind === "line") this.addLine(layer);
    }
    return this;
  }

  show(group: string, visible: boolean): void {
    const branch = this.branches.get(group);
    if (branch) branch.visible = visible;
  }

  /** Show what is drawn for readers of these units, and hide what is for others. */
  speak(units: Units): void {
    for (const branch of this.branches.values()) {
      for (const twig of branch.children) {
        if (twig instanceof Group) twig.visible = twig.userData["units"] === units;
      }
    }
  }

  branch(group: string): Group {
    let branch = this.branches.get(group);
    if (!branch) {
      branch = new Group();
      this.branches.set(group, branch);
      this.root.add(branch);
    }
    return branch;
  }

  dispose(): void {
    this.root.removeFromParent();
    this.root.traverse((thing) => {
      if (thing instanceof Mesh) (thing.geometry as BufferGeometry).dispose();
    });
  }

  private addMesh(layer: MeshLayer): void {
    const geometry = meshGeometry(floats(layer.points), unpack(layer.triangles));
    const mesh = new Mesh(geometry, this.looks.face(layer.role, layer.group));
    mesh.renderOrder = 10 + Math.max(0, FAINT_FIRST.indexOf(layer.role));
    mesh.castShadow = this.looks.role(layer.role).lit && layer.group !== "ground";
    this.keep(mesh, layer);
  }

  private addLine(layer: LineLayer): void {
    const points = floats(layer.points);
    const pieces = segments(points, unpack(layer.counts));
    if (pieces.length === 0) return;
    for (const line of fatLines(this.looks, layer.role, layer.group, pieces)) {
      line.renderOrder += this.rank++ % 10 / 10;
      this.keep(line, layer);
    }
  }

  private keep(thing: Object3D, layer: Layer): void {
    thing.userData = { name: layer.name, role: layer.role, group: layer.group };
    (layer.units ? this.twig(layer.group, layer.units) : this.branch(layer.group)).add(thing);
    this.things.push(thing);
  }

  /** What of a group is drawn for readers of one system of units only. */
  private twig(group: string, units: Units): Group {
    const branch = this.branch(group);
    let twig = branch.children.find((one) => one.userData["units"] === units) as Group | undefined;
    if (!twig) {
      twig = new Group();
      twig.userData = { units };
      branch.add(twig);
    }
    return twig;
  }
}

export function meshGeometry(
  points: Float32Array,
  triangles: Float32Array | Uint16Array | Uint32Array,
): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(points, 3));
  geometry.setIndex(new BufferAttribute(triangles, 1));
  return geometry;
}

/** Return a line and, under it, its pale edge if it has one. */
export function fatLines(
  looks: Looks,
  role: string,
  group: string,
  pieces: Float32Array,
): LineSegments2[] {
  const geometry = new LineSegmentsGeometry();
  geometry.setPositions(pieces);
  const cased = looks.role(role).casing > 0;
  const made = (cased ? [true, false] : [false]).map((casing) => {
    const line = new LineSegments2(geometry, looks.line(role, group, casing));
    line.renderOrder = casing ? 20 : 30;
    line.frustumCulled = false;
    return line;
  });
  if (looks.role(role).dash.length > 1) made[0]?.computeLineDistances();
  return made;
}

/** Return paths as pairs of ends, as fat lines are made of; what is not known is left out. */
export function segments(points: Float32Array, counts: ArrayLike<number>): Float32Array {
  const found: number[] = [];
  let first = 0;
  for (let k = 0; k < counts.length; k++) {
    const count = counts[k] as number;
    for (let i = first; i + 1 < first + count; i++) {
      const piece = points.subarray(3 * i, 3 * i + 6);
      if (piece.every(Number.isFinite)) found.push(...piece);
    }
    first += count;
  }
  return Float32Array.from(found);
}
