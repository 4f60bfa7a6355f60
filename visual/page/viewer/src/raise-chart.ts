/** The chart along the track of the slider: the pull, and the angles where something is the matter. */

import { svg } from "./dom.ts";
import type { ChartData, Status } from "./data.ts";
import { highest, roundForce, roundForceText } from "./chart-scale.ts";
import { floats } from "./packed.ts";
import { COLOURS, OUTLINES } from "./status.ts";
import { angleText } from "./units.ts";
import type { Viewer } from "./viewer.ts";

const HIGH = 98; // of the chart, in pixels
const LOW = 30; // the same on a phone that lies on its side
const FOOT = 26; // below its base line, for marks and degrees
const SIDE = 14; // left and right of it
const WIDE = 560; // a narrower chart has no room for words
const LETTER = 6.1; // width of a letter of a word, about, in pixels

interface Sign {
  angle: number;
  status: Status;
  name: string;
  text: string;
}

export class RaiseChart {
  private readonly viewer: Viewer;
  private chart = svg("svg", {});
  private knob = svg("g", {});
  private signs: Sign[] = [];
  private taken: { left: number; right: number; level: number }[] = [];
  private width = 600;
  private high = HIGH;

  constructor(viewer: Viewer) {
    this.viewer = viewer;
  }

  /** Draw it anew, so many pixels wide. */
  draw(width: number): SVGElement {
    this.width = Math.max(240, width);
    this.high = matchMedia("(max-height: 560px) and (min-width: 561px)").matches ? LOW : HIGH;
    const chart = this.viewer.data.chart;
    this.signs = signsOf(this.viewer);
    this.taken = [];
    const [w, h] = [this.width, this.high + FOOT];
    this.chart = svg("svg", { viewBox: `0 0 ${w} ${h}`, width: w, height: h, "aria-hidden": "true" });
    const most = highest(chart);
    this.bands(chart);
    this.forces(most);
    this.curves(chart, most);
    this.degrees();
    this.forceWords(most);
    this.marks();
    this.bandWords(chart);
    this.curveWords(chart, most);
    this.knob = svg("g", { class: "hm-knob" });
    this.knob.append(
      svg("line", { y1: 2, y2: this.high, x1: 0, x2: 0 }),
      svg("circle", { r: 8, cx: 0, cy: this.high }),
    );
    this.chart.append(this.knob);
    return this.chart;
  }

  /** Put the knob at an angle. */
  point(angle: number): void {
    this.knob.setAttribute("transform", `translate(${this.x(angle)} 0)`);
  }

  /** The angle at a pixel: a whole half degree, or that of a sign that is very near. */
  angleAt(x: number): number {
    const angle = this.first + ((x - SIDE) / (this.width - 2 * SIDE)) * (90 - this.first);
    const reach = (6 * (90 - this.first)) / (this.width - 2 * SIDE);
    const sign = this.signs.find((one) => Math.abs(one.angle - angle) < reach && one.status !== "ok");
    return sign ? sign.angle : Math.max(this.first, Math.round(angle * 2) / 2);
  }

  private get first(): number {
    return this.viewer.rig.first;
  }

  private x(angle: number): number {
    return SIDE + ((angle - this.first) / (90 - this.first)) * (this.width - 2 * SIDE);
  }

  private y(value: number, most: number): number {
    return this.high - (value / most) * (this.high - 14);
  }

  /** What a band means, beside it where it is too narrow. */
  private bandWords(chart: ChartData): void {
    if (this.width < WIDE) return;
    const said = new Set<string>();
    for (const band of chart.bands) {
      const [x, to] = [this.x(Math.max(this.first, band.from)), this.x(Math.min(90, band.to))];
      if (to - x < 0.2 || said.has(band.word)) continue;
      said.add(band.word);
      // a band at the right lies where the pull is low, one at the left where it is high
      if (x > this.width / 2) this.word(band.word, x - 5, 18 + 14 * said.size, "end");
      else this.word(band.word, to + 5, this.high - 14 - 14 * said.size);
    }
  }

  private bands(chart: ChartData): void {
    for (const band of chart.bands) {
      const [x, to] = [this.x(Math.max(this.first, band.from)), this.x(Math.min(90, band.to))];
      if (to - x < 0.2) continue;
      const box = { x, y: 4, width: to - x, height: this.high - 4, class: `hm-band hm-band-${band.kind}` };
      this.chart.append(svg("rect", box, svg("title", {}, band.word)));
    }
  }

  private curves(chart: ChartData, most: number): void {
    const y = (value: number): number => this.y(value, most);
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
    for (const limit of chart.limits) {
      this.chart.append(svg("path", { d: path(floats(limit.values)), class: "hm-limit" }, svg("title", {}, limit.name)));
    }
    chart.curves.forEach((curve, k) => {
      const values = floats(curve.values);
      if (k === 0) this.fillUnder(path(values), values);
      const look = curve.thin ? "hm-curve hm-thin" : "hm-curve";
      this.chart.append(svg("path", { d: path(values), class: look }, svg("title", {}, curve.name)));
    });
  }

  /** The names of the lines, where they leave room for them. */
  private curveWords(chart: ChartData, most: number): void {
    const { angles } = this.viewer.data.rig;
    const [limit] = chart.limits;
    if (limit) {
      const values = floats(limit.values);
      const at = values.findIndex(Number.isFinite);
      const about = limit.about?.[this.viewer.units] ?? "";
      const said = about && this.width > WIDE ? `${limit.name} (${about})` : limit.name;
      const level = this.y(values[at] ?? NaN, most);
      if (Number.isFinite(level)) this.word(said, this.x(angles[at] ?? 0) + 64, level - 4);
    }
    for (const curve of chart.curves) {
      const values = floats(curve.values);
      const at = Math.round(values.length * (curve.thin ? 0.45 : 0.3));
      const level = this.y(values[at] ?? NaN, most);
      if (!curve.name || this.width <= WIDE || !Number.isFinite(level)) continue;
      this.word(curve.name, this.x(angles[at] ?? 0), level + (curve.thin ? 13 : -5));
    }
  }

  /** Write a word where there is room for it: a little higher or lower if need be, or not at all. */
  private word(text: string, x: number, y: number, anchor = "start"): void {
    const long = LETTER * text.length;
    const left = anchor === "end" ? x - long : x;
    const level = [0, 13, -13].map((by) => y + by).find((one) => this.isFree(left, one, long));
    if (level === undefined) return;
    this.taken.push({ left, right: left + long, level });
    this.chart.append(svg("text", { x, y: level, class: "hm-word", "text-anchor": anchor }, text));
  }

  private isFree(left: number, level: number, long: number): boolean {
    if (level < 9 || level > this.high - 4) return false;
    return !this.taken.some((one) => left < one.right + 4 && left + long > one.left - 4 && Math.abs(level - one.level) < 12);
  }

  private fillUnder(line: string, values: Float32Array): void {
    const from = values.findIndex(Number.isFinite);
    if (from < 0 || !values.slice(from).every(Number.isFinite)) return;
    const start = this.viewer.data.rig.angles[from] ?? this.first;
    const d = `${line}L${this.x(90)} ${this.high}L${this.x(start)} ${this.high}Z`;
    this.chart.append(svg("path", { d, class: "hm-under" }));
  }

  private degrees(): void {
    this.chart.append(svg("line", { x1: SIDE, x2: this.width - SIDE, y1: this.high, y2: this.high, class: "hm-base" }));
    const step = this.width < 480 ? 30 : 15;
    for (let angle = Math.ceil(this.first / step) * step; angle <= 90; angle += step) {
      const x = this.x(angle);
      this.chart.append(
        svg("line", { x1: x, x2: x, y1: this.high, y2: this.high + 4, class: "hm-base" }),
        svg("text", { x, y: this.high + 22, class: "hm-degrees" }, `${angle}°`),
      );
    }
  }

  /** Lines at round forces, each with its number at the left. */
  private forces(most: number): void {
    const { units } = this.viewer;
    const step = roundForce(most / 1.7, units);
    for (let force = step; force < most; force += step) {
      const y = this.y(force, most);
      this.chart.append(svg("line", { x1: SIDE, x2: this.width - SIDE, y1: y, y2: y, class: "hm-force-line" }));
    }
  }

  private forceWords(most: number): void {
    const { units } = this.viewer;
    const step = roundForce(most / 1.7, units);
    for (let force = step; force < most; force += step) this.word(roundForceText(force, units), SIDE + 3, this.y(force, most) - 2);
  }

  private marks(): void {
    let last = -99;
    let free = -99;
    for (const sign of this.signs) {
      const x = this.x(sign.angle);
      if (sign.status === "ok" || x - last < 5) continue;
      last = x;
      if (this.width > WIDE && x > free) free = this.signWord(sign, x, free);
      const shape = svg("path", { d: OUTLINES[sign.status], fill: COLOURS[sign.status], "fill-rule": "evenodd" });
      const at = { transform: `translate(${x - 6} ${this.high - 6}) scale(.75)`, class: "hm-at" };
      const line = svg("line", { x1: x, x2: x, y1: 20, y2: this.high, stroke: COLOURS[sign.status], class: "hm-at-line" });
      this.chart.append(line, svg("g", at, shape, svg("title", {}, sign.text)));
    }
  }

  /** The name of a sign, above the base line; return where it ends. */
  private signWord(sign: Sign, x: number, free: number): number {
    const long = LETTER * sign.name.length;
    const left = x + 9 + long > this.width - SIDE;
    if (left && x - 9 - long < free) return free;
    this.word(sign.name, left ? x - 9 : x + 9, this.high - 9, left ? "end" : "start");
    return left ? x + 5 : x + 12 + long;
  }
}

/** Angles at which a finding asks for attention; the worse one counts where two are together. */
function signsOf(viewer: Viewer): Sign[] {
  return viewer.data.findings
    .filter((one) => one.angle !== null && one.status !== "ok")
    .map((one) => ({
      angle: one.angle ?? 0,
      status: one.status,
      name: `${one.check}: ${one.subject}`,
      text: `${one.status}: ${one.subject}, ${angleText(one.angle ?? 0)}`,
    }))
    .sort((a, b) => a.angle - b.angle);
}
