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

/** It begins to draw after this long at the latest. [ms] */
const LATEST = 1500;

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
  /** The same for what stands too far behind a cut to be seen in it. */
  readonly far = new Plane();
  cutting = false;
  width = 1;
  height = 1;
  /** Told when the drawing has another size. */
  resized: () => void = () => {};
  private ratio = 0;
  private asked = false;
  private started = false;
  private readonly host: HTMLElement;
  private drawn = 0;
  /** Share of the pixels while things move: less where a picture takes long. */
  private coarse = 1;
  private settling = 0;
  private readonly before: (() => void)[] = [];
  private readonly after: (() => void)[] = [];

  constructor(host: HTMLElement) {
    this.host = host;
    this.width = Math.max(1, host.clientWidth);
    this.height = Math.max(1, host.clientHeight);
    this.renderer = new WebGLRenderer({ antialias: true, alpha: true, preserveDrawingBuffer: false });
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    // asking for errors would wait for every shader in turn
    this.renderer.debug.checkShaderErrors = false;
    this.renderer.localClippingEnabled = true;
    this.renderer.setClearColor(0x000000, 0);
    this.canvas = this.renderer.domElement;
    this.canvas.className = "hm-canvas";
    host.append(this.canvas);
    this.sky.position.set(...LIGHT);
    this.scene.add(this.sky, this.fill, this.sun, this.sun.target);
    this.eye = new Eye(() => this.ask());
    new ResizeObserver(() => this.fit()).observe(host);
    setTimeout(() => this.start(), LATEST);
  }

  /** Do something before every picture, such as placing what depends on the camera. */
  beforeDraw(what: () => void): void {
    this.before.push(what);
  }

  /** Do something after every picture, such as lettering it. */
  afterDraw(what: () => void): void {
    this.after.push(what);
  }

  /** Begin to draw, once everything has its place on the page. */
  start(): void {
    if (this.started) return;
    this.started = true;
    this.fit();
    this.draw();
  }

  /** Draw a picture soon; several wishes make one picture. */
  ask(): void {
    if (this.asked || !this.started) return;
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
    if (took < 2500 && took > 90) this.coarse = Math.max(0.5, this.coarse * 0.7);
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
    if (!this.started) return;
    this.eye.apply(this.width / this.height);
    for (const what of this.before) what();
    this.renderer.render(this.scene, this.eye.camera);
    for (const what of this.after) what();
  }

  /** Pixels of a line one millimetre wide on the page of the pictures. */
  get perMillimetre(): number {
    return Math.min(5.2, Math.max(3.4, Math.min(this.width, this.height * 1.6) / 277));
  }

  /** Width of the finest line that still shows as a line, in pixels of the page. */
  get finest(): number {
    return Math.max(0.7, 0.9 / this.renderer.getPixelRatio());
  }

  /** Draw at another size than that of the window. */
  size({ width, height, ratio }: { width: number; height: number; ratio: number }): void {
    Object.assign(this, { width, height });
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(width, height);
  }

  private fit(): void {
    if (!this.started) return;
    const [width, height] = [Math.max(1, this.host.clientWidth), Math.max(1, this.host.clientHeight)];
    const ratio = Math.min(2, window.devicePixelRatio || 1);
    if (width === this.width && height === this.height && ratio === this.ratio) return;
    Object.assign(this, { width, height, ratio });
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(width, height);
    this.resized();
    this.ask();
  }
}
