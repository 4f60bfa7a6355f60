/** What is drawn of a data object: ground, what stands around, what belongs to the design, and the rig. */

import { Mesh, MeshLambertMaterial, type Object3D } from "three";
import type { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import type { PageData, Units } from "./data.ts";
import { Ground } from "./ground.ts";
import type { Layer } from "./layer-data.ts";
import { Drawn } from "./layers.ts";
import { Looks } from "./looks.ts";
import { Rig } from "./rig.ts";
import type { Stage } from "./stage.ts";

export class Things {
  ground!: Ground;
  rig!: Rig;
  looks!: Looks;
  private readonly stage: Stage;
  private around: Drawn | null = null;
  /** The layers that `around` is drawn from. */
  private aroundOf: readonly Layer[] | null = null;
  private own: Drawn | null = null;

  constructor(stage: Stage) {
    this.stage = stage;
    stage.beforeDraw(() => {
      const { perMillimetre, finest, eye, height } = stage;
      this.looks.fit({ perMillimetre, metresPerPixel: eye.perPixel(height), finest, asSeen: eye.stand.standing });
    });
  }

  /** Draw a data object; what stays as it is between two of them is kept. */
  build(data: PageData, units: Units): void {
    this.own?.dispose();
    this.rig?.dispose();
    this.buildGround(data);
    this.around = this.buildAround(data, units);
    this.own = new Drawn(this.looks).add(data.layers);
    this.rig = new Rig(data.rig, this.looks);
    this.stage.scene.add(this.own.root, this.rig.root);
    this.around.root.position.set(...data.around.offset);
    this.ground.mesh.position.set(...data.around.offset);
    this.stage.ask();
  }

  /** Show what is drawn for readers of these units only. */
  speak(units: Units): void {
    this.around?.speak(units);
  }

  /** Everything that can be pointed at. */
  get all(): Drawn[] {
    return [this.around, this.own, ...this.rig.parts].filter((one) => one !== null);
  }

  /** Faces that are shown now and hide what is behind them; with clear ones if asked. */
  solids(clear = false): Mesh[] {
    return this.shown().filter((one): one is Mesh => {
      if (!(one instanceof Mesh) || "isLineSegments2" in one) return false;
      return clear || one.material instanceof MeshLambertMaterial;
    });
  }

  /** What stands around and is shown: it hides names behind it. */
  buildings(): Mesh[] {
    return this.solids().filter((one) => one.userData["group"] === "buildings");
  }

  /** Lines that are shown now. */
  lines(): LineSegments2[] {
    return this.shown().filter((one): one is LineSegments2 => "isLineSegments2" in one);
  }

  private shown(): Object3D[] {
    return this.all.flatMap((part) => part.things).filter(isShown);
  }

  /** What stands around stays as it is while its layers and the looks are the same. */
  private buildAround(data: PageData, units: Units): Drawn {
    const suits = this.looks?.suit(data.roles) ?? false;
    const { layers } = data.around;
    if (this.around && suits && this.aroundOf === layers) return this.around;
    this.around?.dispose();
    if (!suits) {
      this.looks?.dispose();
      this.looks = new Looks(data.roles, [this.stage.cut, this.stage.far]);
    }
    this.aroundOf = layers;
    const around = new Drawn(this.looks).add(layers);
    around.speak(units);
    this.stage.scene.add(around.root);
    return around;
  }

  private buildGround(data: PageData): void {
    if (this.ground?.data.key === data.around.ground.key) return;
    if (this.ground) {
      this.ground.mesh.removeFromParent();
      this.ground.dispose();
    }
    this.ground = new Ground(data.around.ground);
    for (const material of this.ground.materials) material.clippingPlanes = [this.stage.cut];
    this.stage.scene.add(this.ground.mesh);
    void this.ground.ready.then(() => this.stage.ask());
  }
}

/** True if a thing and everything it hangs on is visible. */
function isShown(thing: Object3D): boolean {
  for (let one: Object3D | null = thing; one; one = one.parent) if (!one.visible) return false;
  return true;
}
