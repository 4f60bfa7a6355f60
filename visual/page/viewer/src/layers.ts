/** Layers as things of the scene, with the look of their roles. */

import {
  BufferAttribute,
  BufferGeometry,
  Color,
  DoubleSide,
  FrontSide,
  Group,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  type Object3D,
  type Plane,
} from "three";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import { LineSegmentsGeometry } from "three/addons/lines/LineSegmentsGeometry.js";
import type { Units } from "./data.ts";
import type { Layer, LineLayer, MeshLayer, Role } from "./layer-data.ts";
import { floats, unpack } from "./packed.ts";

/** Groups that a view from the side cuts open. */
export const CUT = new Set(["ground", "buildings", "lines", "clearance", "land", "contours"]);

/** Roles that are drawn over what they lie on, faint things first. */
const FAINT_FIRST = ["required_clearance", "sag_range", "lane", "keep_out", "fall_zone", "rotor_disc"];

export class Looks {
  private readonly roles: Record<string, Role>;
  private readonly cuts: Plane[];
  private readonly lines = new Map<string, LineMaterial>();
  private readonly faces = new Map<string, MeshBasicMaterial | MeshLambertMaterial>();

  constructor(roles: Record<string, Role>, cuts: Plane[]) {
    this.roles = roles;
    this.cuts = cuts;
  }

  /** True if these roles are the same by value: things drawn with them can stay. */
  suit(roles: Record<string, Role>): boolean {
    return this.roles === roles || JSON.stringify(this.roles) === JSON.stringify(roles);
  }

  role(key: string): Role {
    const role = this.roles[key];
    if (!role) throw new Error(`no look for ${key}`);
    return role;
  }

  /** The material of a line; `casing` is the pale edge under it. */
  line(key: string, group: string, casing: boolean): LineMaterial {
    const name = `${key}/${CUT.has(group)}/${casing}`;
    const known = this.lines.get(name);
    if (known) return known;
    const role = this.role(key);
    const made = new LineMaterial({
      color: new Color(casing ? "#fffdf7" : role.color),
      opacity: casing ? 0.85 : role.opacity,
      transparent: true,
      dashed: role.dash.length > 1 && !casing,
      depthWrite: false,
    });
    made.userData = { width: role.width + (casing ? 2 * role.casing : 0) };
    if (made.dashed) made.fragmentShader = dashedShader(made.fragmentShader, role.dash);
    made.clippingPlanes = CUT.has(group) ? this.cuts : null;
    this.lines.set(name, made);
    return made;
  }

  face(key: string, group: string): MeshBasicMaterial | MeshLambertMaterial {
    const name = `${key}/${CUT.has(group)}`;
    const known = this.faces.get(name);
    if (known) return known;
    const role = this.role(key);
    const clear = role.opacity < 1;
    const look = {
      color: new Color(role.color),
      opacity: role.opacity,
      transparent: clear,
      depthWrite: !clear,
      side: role.lit && !clear ? FrontSide : DoubleSide,
    };
    const made = role.lit
      ? new MeshLambertMaterial({ ...look, flatShading: true })
      : new MeshBasicMaterial(look);
    made.clippingPlanes = CUT.has(group) ? this.cuts : null;
    this.faces.set(name, made);
    return made;
  }

  /** Fit widths and dashes to the picture: both are the same on the screen at any distance. */
  fit(perMillimetre: number, metresPerPixel: number, finest: number): void {
    for (const material of this.lines.values()) {
      const { width } = material.userData as { width: number };
      material.linewidth = Math.max(width * perMillimetre, finest);
      // along the line the shader counts in millimetres of the page
      material.dashScale = 1 / (perMillimetre * metresPerPixel);
    }
  }

  dispose(): void {
    for (const one of [...this.lines.values(), ...this.faces.values()]) one.dispose();
  }
}

const ONE_DASH =
  "if ( mod( vLineDistance + dashOffset, dashSize + gapSize ) > dashSize ) discard;";

/** Return a line shader that leaves out the gaps of a pattern: drawn, gap, drawn, gap … [mm] */
export function dashedShader(shader: string, dash: number[]): string {
  if (!shader.includes(ONE_DASH)) throw new Error("lines cannot be dashed with this library");
  const whole = dash.reduce((a, b) => a + b, 0);
  let test = `float at = mod( vLineDistance, ${whole.toFixed(3)} );`;
  let from = 0;
  for (let k = 0; k + 1 < dash.length; k += 2) {
    from += dash[k] as number;
    const to = from + (dash[k + 1] as number);
    test += ` if ( at > ${from.toFixed(3)} && at < ${to.toFixed(3)} ) discard;`;
    from = to;
  }
  return shader.replace(ONE_DASH, test);
}

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
