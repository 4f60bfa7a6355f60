/**
 * The slider of the raising angle, which is also the chart: along its track runs the pull, with
 * the angles where something stops or needs care. One control, worked by pointer or keys.
 */

import { calm, element, svg } from "./dom.ts";
import { type ChartData, floats, type Packed, type Status } from "./data.ts";
import { COLOURS, OUTLINES } from "./status.ts";
import { angleText, forceText, quantityText } from "./units.ts";
import type { Viewer } from "./viewer.ts";

const HIGH = 84; // of the chart, in pixels
const FOOT = 26; // below its base line, for marks and degrees
const SIDE = 14; // left and right of it
const SPEED = 9; // degrees a second while playing

interface Sign {
  angle: number;
  status: Status;
  text: string;
}

export class RaiseSlider {
  readonly root = element("section", "hm-raise");
  private readonly viewer: Viewer;
  private readonly track = element("div", "hm-track");
  private readonly play = element("button", "hm-play");
  private readonly up = element("button", "hm-standing", "Stand it up");
  private readonly bare = element("button", "hm-bare", "Bare mast");
  private readonly numbers = element("div", "hm-numbers");
  private chart = svg("svg", {});
  private knob = svg("g", {});
  private signs: Sign[] = [];
  private playing = 0;
  private width = 600;
  /** The angle it was last at, to go back to from standing. */

  constructor(viewer: Viewer) {
    this.viewer = viewer;
    this.root.setAttribute("aria-label", "The raise");
    this.track.tabIndex = 0;
    this.track.setAttribute("role", "slider");
    this.track.setAttribute("aria-label", "Raising angle");
    for (const one of [this.play, this.up, this.bare]) one.type = "button";
    this.bare.title = "The first raise, without the head";
    this.bare.addEventListener("click", () => viewer.setFirstRaise(!viewer.rig.firstRaise));
    this.play.addEventListener("click", () => (this.playing ? this.stop() : this.start()));
    this.up.addEventListener("click", () => this.stand());
    this.root.append(
      element("div", "hm-raise-keys", this.play, this.up, this.bare),
      element("div", "hm-raise-main", this.numbers, this.track),
    );
    this.listen();
    viewer.on("data", () => this.redraw());
    viewer.on("units", () => this.redraw());
    viewer.on("angle", () => this.follow());
    viewer.on("firstRaise", () => this.follow());
    new ResizeObserver(() => this.redraw()).observe(this.track);
    this.redraw();
  }

  get first(): number {
    return this.viewer.rig.first;
  }

  start(): void {
    const from = this.viewer.angle === "standing" || this.viewer.angle >= 89.9 ? this.first : this.viewer.angle;
    const began = performance.now();
    const turn = ++this.run;
    this.playing = turn;
    this.label();
    const step = (now: number): void => {
      if (this.playing !== turn) return;
      const angle = from + ((now - began) / 1000) * (calm() ? SPEED / 2 : SPEED);
      this.viewer.chooseAngle(Math.min(90, angle));
      if (angle < 90) requestAnimationFrame(step);
      else this.stop();
    };
    requestAnimationFrame(step);
  }

  private run = 0;

  stop(): void {
    this.playing = 0;
    this.label();
  }

  private stand(): void {
    this.stop();
    this.viewer.chooseAngle(this.viewer.angle === "standing" ? this.first : "standing");
  }

  private listen(): void {
    const set = (event: PointerEvent): void => {
      const box = this.track.getBoundingClientRect();
      this.stop();
      this.viewer.chooseAngle(this.near(this.angleAt(event.clientX - box.left)));
    };
    this.track.addEventListener("pointerdown", (event) => {
      this.track.setPointerCapture(event.pointerId);
      set(event);
    });
    this.track.addEventListener("pointermove", (event) => {
      if (this.track.hasPointerCapture(event.pointerId)) set(event);
    });
    this.track.addEventListener("keydown", (event) => this.key(event));
  }

  private key(event: KeyboardEvent): void {
    const now = this.viewer.angle === "standing" ? 90 : this.viewer.angle;
    const half = (to: number): number => Math.round(to * 2) / 2;
    const ways: Record<string, number> = {
      ArrowRight: half(now + 0.5),
      ArrowUp: half(now + 0.5),
      ArrowLeft: half(now - 0.5),
      ArrowDown: half(now - 0.5),
      PageUp: half(now + 5),
      PageDown: half(now - 5),
      Home: this.first,
      End: 90,
    };
    const to = ways[event.key];
    if (event.key === " ") this.play.click();
    else if (to !== undefined) {
      this.stop();
      this.viewer.chooseAngle(to);
    } else return;
    event.preventDefault();
  }

  /** A whole half degree, or the angle of a sign that is very near. */
  private near(angle: number): number {
    const reach = (6 * (90 - this.first)) / (this.width - 2 * SIDE);
    const sign = this.signs.find((one) => Math.abs(one.angle - angle) < reach && one.status !== "ok");
    return sign ? sign.angle : Math.max(this.first, Math.round(angle * 2) / 2);
  }

  private angleAt(x: number): number {
    return this.first + ((x - SIDE) / (this.width - 2 * SIDE)) * (90 - this.first);
  }

  private x(angle: number): number {
    return SIDE + ((angle - this.first) / (90 - this.first)) * (this.width - 2 * SIDE);
  }

  private redraw(): void {
    this.width = Math.max(240, this.track.clientWidth);
    const chart = this.viewer.data.chart;
    this.signs = signsOf(this.viewer);
    const [w, h] = [this.width, HIGH + FOOT];
    this.chart = svg("svg", { viewBox: `0 0 ${w} ${h}`, width: w, height: h, "aria-hidden": "true" });
    const most = highest(chart);
    this.bands(chart);
    this.curves(chart, most);
    this.scale(most);
    this.marks();
    this.knob = svg("g", { class: "hm-knob" });
    this.knob.append(
      svg("line", { y1: 2, y2: HIGH, x1: 0, x2: 0 }),
      svg("circle", { r: 8, cx: 0, cy: HIGH }),
    );
    this.chart.append(this.knob);
    this.track.replaceChildren(this.chart);
    this.follow();
  }

  private bands(chart: ChartData): void {
    for (const band of chart.bands) {
      const [x, to] = [this.x(Math.max(this.first, band.from)), this.x(Math.min(90, band.to))];
      if (to - x < 0.2) continue;
      const box = { x, y: 4, width: to - x, height: HIGH - 4, class: `hm-band hm-band-${band.kind}` };
      this.chart.append(svg("rect", box, svg("title", {}, band.word)));
    }
  }

  private curves(chart: ChartData, most: number): void {
    const y = (value: number): number => HIGH - (value / most) * (HIGH - 14);
    const { angles } = this.viewer.data.rig;
    const path = (values: Float32Array): string => {
      let pen = "M";
      let text = "";
      values.forEach((value, k) => {
        if (!Number.isFinite(value)) pen = "M";
        else {
          text += `${pen}${this.x(angles[k] ?? 0).toFixed(1)} ${y(Math.max(0, value)).toFixed(1)}`;
          pen = "L";
        }
      });
      return text;
    };
    for (const [number, limit] of chart.limits.entries()) {
      const values = floats(limit.values);
      this.chart.append(svg("path", { d: path(values), class: "hm-limit" }, svg("title", {}, limit.name)));
      const at = values.findIndex(Number.isFinite);
      const level = y(values[at] ?? NaN);
      if (number === 0 && Number.isFinite(level) && level > 8) this.word(limit.name, this.x(angles[at] ?? 0) + 10, level - 4);
    }
    chart.curves.forEach((curve, k) => {
      const values = floats(curve.values);
      if (k === 0) this.fillUnder(path(values), values);
      const look = curve.thin ? "hm-curve hm-thin" : "hm-curve";
      this.chart.append(svg("path", { d: path(values), class: look }, svg("title", {}, curve.name)));
      const at = Math.round(values.length * 0.3);
      const level = y(values[at] ?? NaN);
      if (curve.name && this.width > 560 && Number.isFinite(level)) {
        this.word(curve.name, this.x(angles[at] ?? 0), level + (curve.thin ? 13 : -5));
      }
    });
  }

  private word(text: string, x: number, y: number): void {
    this.chart.append(svg("text", { x, y, class: "hm-word" }, text));
  }

  private fillUnder(line: string, values: Float32Array): void {
    const from = values.findIndex(Number.isFinite);
    if (from < 0 || !values.slice(from).every(Number.isFinite)) return;
    const start = this.viewer.data.rig.angles[from] ?? this.first;
    const d = `${line}L${this.x(90)} ${HIGH}L${this.x(start)} ${HIGH}Z`;
    this.chart.append(svg("path", { d, class: "hm-under" }));
  }

  private scale(most: number): void {
    this.chart.append(svg("line", { x1: SIDE, x2: this.width - SIDE, y1: HIGH, y2: HIGH, class: "hm-base" }));
    const step = this.width < 480 ? 30 : 15;
    for (let angle = Math.ceil(this.first / step) * step; angle <= 90; angle += step) {
      const x = this.x(angle);
      this.chart.append(
        svg("line", { x1: x, x2: x, y1: HIGH, y2: HIGH + 4, class: "hm-base" }),
        svg("text", { x, y: HIGH + 22, class: "hm-degrees" }, `${angle}°`),
      );
    }
    const { units } = this.viewer;
    const top = svg("text", { x: this.width - SIDE, y: 12, class: "hm-most" }, forceText(most, units));
    this.chart.append(top);
  }

  private marks(): void {
    let last = -99;
    for (const sign of this.signs) {
      const x = this.x(sign.angle);
      if (sign.status === "ok" || x - last < 5) continue;
      last = x;
      const shape = svg("path", { d: OUTLINES[sign.status], fill: COLOURS[sign.status], "fill-rule": "evenodd" });
      const at = { transform: `translate(${x - 6} ${HIGH - 6}) scale(.75)`, class: "hm-at" };
      const line = svg("line", { x1: x, x2: x, y1: 20, y2: HIGH, stroke: COLOURS[sign.status], class: "hm-at-line" });
      this.chart.append(line, svg("g", at, shape, svg("title", {}, sign.text)));
    }
  }

  private follow(): void {
    const { angle } = this.viewer;
    const shown = angle === "standing" ? 90 : angle;
    this.knob.setAttribute("transform", `translate(${this.x(shown)} 0)`);
    this.root.classList.toggle("hm-is-standing", angle === "standing");
    this.up.textContent = angle === "standing" ? "Lay it down" : "Stand it up";
    this.bare.hidden = (this.viewer.data.forces?.runs.length ?? 0) < 2;
    this.bare.setAttribute("aria-pressed", `${this.viewer.rig.firstRaise}`);
    const words = this.words(shown);
    this.track.setAttribute("aria-valuemin", this.first.toFixed(1));
    this.track.setAttribute("aria-valuemax", "90");
    this.track.setAttribute("aria-valuenow", shown.toFixed(1));
    this.track.setAttribute("aria-valuetext", words.map(([word, text]) => `${word} ${text}`).join(", "));
    const cells = words.map(([word, text]) => element("span", "hm-number", element("small", "", word), element("b", "", text)));
    this.numbers.replaceChildren(...cells);
    this.label();
  }

  private words(angle: number): [string, string][] {
    const { data, units, rig } = this.viewer;
    if (this.viewer.angle === "standing") return [["mast", "standing, on all its wires"]];
    const row = Math.round(rig.row(angle));
    const found: [string, string][] = [["raising angle", angleText(angle)]];
    const known = (one: { values: Packed }): boolean => Number.isFinite(floats(one.values)[row]);
    const mine = data.chart.curves.filter((one) => one.bare === (rig.isBare && data.chart.bareSeries !== null));
    const pull = mine.find(known) ?? data.chart.curves.find(known) ?? data.chart.curves[0];
    if (pull) found.push([data.chart.title.toLowerCase(), forceText(floats(pull.values)[row] ?? NaN, units)]);
    const limit = data.chart.limits.find(known);
    if (limit) found.push([limit.name, forceText(floats(limit.values)[row] ?? NaN, units)]);
    for (const name of ["thrust of the gin pole", "travel so far"]) {
      const all = rig.isBare ? (data.chart.bareSeries ?? data.chart.series) : data.chart.series;
      const series = all.find((one) => one.word === name);
      const value = series ? (floats(series.values)[row] ?? NaN) : NaN;
      if (series && Number.isFinite(value)) found.push([name, quantityText(value, series.unit, units)]);
    }
    const there = data.chart.bands.filter((one) => one.from <= angle && angle <= one.to);
    const band = there.find((one) => one.kind !== "bare" || angle < data.rig.headFrom - 1e-6);
    if (band) found.splice(1, 0, ["here", band.word]);
    return found;
  }

  private label(): void {
    const playing = this.playing !== 0;
    this.play.setAttribute("aria-label", playing ? "Pause" : "Play the raise");
    this.play.classList.toggle("hm-is-playing", playing);
  }
}

/** Angles at which a finding asks for attention; the worse one counts where two are together. */
export function signsOf(viewer: Viewer): Sign[] {
  return viewer.data.findings
    .filter((one) => one.angle !== null && one.status !== "ok")
    .map((one) => ({
      angle: one.angle ?? 0,
      status: one.status,
      text: `${one.status}: ${one.subject}, ${angleText(one.angle ?? 0)}`,
    }))
    .sort((a, b) => a.angle - b.angle);
}

function highest(chart: ChartData): number {
  const all = chart.curves.flatMap((one) => [...floats(one.values)]);
  const limits = chart.limits.flatMap((one) => [...floats(one.values)]);
  const most = Math.max(...all.filter(Number.isFinite), 1);
  const near = limits.filter((value) => Number.isFinite(value) && value < 1.6 * most);
  return Math.max(most, ...near) * 1.02;
}
