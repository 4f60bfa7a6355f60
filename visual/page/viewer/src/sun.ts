/** The light: neutral as in the pictures, or the sun at an hour, with shadows. */

import { PCFShadowMap, Vector3 } from "three";
import { choice, element } from "./dom.ts";
import type { Viewer } from "./viewer.ts";

export class SunLight {
  readonly root = element("div", "hm-sun");
  on = false;
  private readonly viewer: Viewer;
  private hour = -1;

  constructor(viewer: Viewer) {
    this.viewer = viewer;
    viewer.on("data", () => {
      this.fill();
      this.apply();
    });
    this.fill();
  }

  /** Light by the sun, or neutrally. */
  set(on: boolean): void {
    this.on = on;
    this.fill();
    this.apply();
  }

  private fill(): void {
    const times = this.viewer.data.sun?.times ?? [];
    if (times.length === 0) {
      this.root.replaceChildren();
      return;
    }
    if (this.hour < 0 || this.hour >= times.length) this.hour = Math.floor(times.length * 0.6);
    const light = choice("Light", [["neutral", "neutral"], ["sun", "sun"]], this.on ? "sun" : "neutral", (value) => this.set(value === "sun"));
    const range = element("input");
    range.type = "range";
    range.min = "0";
    range.max = `${times.length - 1}`;
    range.value = `${this.hour}`;
    const word = element("output", "", times[this.hour]?.word ?? "");
    const say = (): void => {
      word.textContent = times[this.hour]?.word ?? "";
      range.setAttribute("aria-valuetext", word.textContent);
    };
    range.addEventListener("input", () => {
      this.hour = Number(range.value);
      say();
      this.apply();
    });
    say();
    const hours = element("label", "hm-hours", "sun at ", word, range);
    const note = element("p", "hm-hint", this.viewer.data.sun?.note ?? "");
    hours.hidden = note.hidden = !this.on;
    this.root.replaceChildren(light, hours, note);
  }

  private apply(): void {
    const { stage, ground, data } = this.viewer;
    const to = data.sun?.times[this.hour]?.to;
    const lit = this.on && to !== undefined;
    stage.renderer.shadowMap.enabled = lit;
    stage.renderer.shadowMap.type = PCFShadowMap;
    stage.sun.castShadow = lit;
    stage.sun.intensity = lit ? 0.44 * Math.PI : 0;
    stage.sky.intensity = lit ? 0.55 * Math.PI : Math.PI;
    ground.lightBySun(lit);
    if (lit) this.aim(new Vector3(...to));
    stage.ask();
  }

  /** Shadows reach as far as what matters: the mast laid down, and what stands near. */
  private aim(to: Vector3): void {
    const { sun } = this.viewer.stage;
    const reach = 4 * (this.viewer.place("mast top")?.length() ?? 20);
    sun.target.position.set(0, 0, 0);
    sun.position.copy(to).multiplyScalar(3 * reach);
    const camera = sun.shadow.camera;
    Object.assign(camera, { left: -reach, right: reach, top: reach, bottom: -reach, near: 1, far: 6 * reach });
    camera.updateProjectionMatrix();
    if (sun.shadow.mapSize.width !== 4096) sun.shadow.mapSize.set(4096, 4096);
    sun.shadow.bias = -0.0006;
    sun.shadow.normalBias = 0.05;
  }
}
