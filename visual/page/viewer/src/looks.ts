/** The look of each role: materials of lines and faces, made once and fitted to the picture. */

import { Color, DoubleSide, FrontSide, MeshBasicMaterial, MeshLambertMaterial, type Plane } from "three";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import type { Role } from "./layer-data.ts";

/** Groups that a view from the side cuts open. */
export const CUT = new Set(["ground", "buildings", "lines", "clearance", "land", "contours"]);

const RIG = new Set(["wires", "mast"]);
const SEEN = 0.4; // of its width on a plan has a line of the rig, seen from a window

/** What widths of lines depend on. */
export interface Fit {
  perMillimetre: number;
  metresPerPixel: number;
  /** The finest line that is drawn well. [pixels] */
  finest: number;
  /** The picture is what a person sees from a place. */
  asSeen: boolean;
}

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
    made.userData = { width: role.width + (casing ? 2 * role.casing : 0), isRig: RIG.has(group) };
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

  /**
   * Fit widths and dashes to the picture: both are the same on the screen at any distance; but as a
   * person sees it from a place, wires are fine.
   */
  fit({ perMillimetre, metresPerPixel, finest, asSeen }: Fit): void {
    for (const material of this.lines.values()) {
      const { width, isRig } = material.userData as { width: number; isRig: boolean };
      material.linewidth = Math.max(width * perMillimetre * (asSeen && isRig ? SEEN : 1), finest);
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
