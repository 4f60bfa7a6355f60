/** The drawing surface: renderer, scene, lights, and one picture whenever something changed. */

import {
  AmbientLight,
  Color,
  ColorManagement,
  DirectionalLight,
  HemisphereLight,
  LinearSRGBColorSpace,
  Plane,
  Scene,
  WebGLRenderer,
} from "three";
import { Eye } from "./eye.ts";

// Colours are what the style says, as in the pictures: no conversion, no tone mapping.
ColorManagement.enabled = false;

/** Unit vector to the light of the pictures: north-west and high. */
export const LIGHT = [-0.5186, 0.4488, 0.728] as const;

export class Stage {
  readonly scene = new Scene();
  readonly eye: Eye;
  readonly renderer: WebGLRenderer;
  readonly canvas: HTMLCanvasElement;
  readonly sky = new HemisphereLight(new Color(1.06, 1.06, 1.06), new Color(0.7, 0.7, 0.7), Math.PI);
  readonly fill = new AmbientLight(0xffffff, 0);
  readonly sun = new DirectionalLight(0xffffff, 0);
  /** Cuts the ground in views from the side; its constant is far away when nothing is cut. */
  readonly cut = new Plane();
  cutting = false;
  width = 1;
  height = 1;
  private asked = false;
  private drawn = 0;
  /** Share of the pixels while things move: less where a picture takes long. */
  private coarse = 1;
  private settling = 0;
  private readonly before: (() => void)[] = [];
  private readonly after: (() => void)[] = [];

  constructor(host: HTMLElement) {
    this.renderer = new WebGLRenderer({ antialias: true, alpha: true, preserveDrawingBuffer: false });
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    this.renderer.localClippingEnabled = true;
    this.renderer.setClearColor(0x000000, 0);
    this.canvas = this.renderer.domElement;
    this.canvas.className = "hm-canvas";
    host.append(this.canvas);
    this.sky.position.set(...LIGHT);
    this.scene.add(this.sky, this.fill, this.sun, this.sun.target);
    this.eye = new Eye(() => this.ask());
    new ResizeObserver(() => this.fit(host)).observe(host);
    this.fit(host);
  }

  /** Do something before every picture, such as placing what depends on the camera. */
  beforeDraw(what: () => void): void {
    this.before.push(what);
  }

  /** Do something after every picture, such as lettering it. */
  afterDraw(what: () => void): void {
    this.after.push(what);
  }

  /** Draw a picture soon; several wishes make one picture. */
  ask(): void {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame((now) => {
      this.asked = false;
      this.pace(now);
      this.draw();
    });
  }

  /** Draw fewer pixels while pictures follow one another too slowly, and all of them at rest. */
  private pace(now: number): void {
    const took = now - this.drawn;
    this.drawn = now;
    if (took < 2500 && took > 90) this.coarse = Math.max(0.4, this.coarse * 0.7);
    else if (took < 40) this.coarse = Math.min(1, this.coarse * 1.02);
    const wanted = took < 2500 && this.coarse < 0.9;
    if (wanted) this.resolve(this.coarse);
    clearTimeout(this.settling);
    if (wanted) this.settling = setTimeout(() => this.settle(), 300);
  }

  private settle(): void {
    this.resolve(1);
    this.draw();
    this.drawn = 0;
  }

  private resolve(share: number): void {
    const ratio = Math.min(2, window.devicePixelRatio || 1) * share;
    if (Math.abs(this.renderer.getPixelRatio() - ratio) > 0.05) this.renderer.setPixelRatio(ratio);
  }

  draw(): void {
    this.eye.apply(this.width / this.height);
    for (const what of this.before) what();
    this.renderer.render(this.scene, this.eye.camera);
    for (const what of this.after) what();
  }

  /** Pixels of a line one millimetre wide on the page of the pictures. */
  get perMillimetre(): number {
    return Math.min(5.2, Math.max(3.4, Math.min(this.width, this.height * 1.6) / 277));
  }

  private fit(host: HTMLElement): void {
    this.width = Math.max(1, host.clientWidth);
    this.height = Math.max(1, host.clientHeight);
    this.renderer.setPixelRatio(Math.min(2, window.devicePixelRatio || 1));
    this.renderer.setSize(this.width, this.height);
    this.ask();
  }
}
