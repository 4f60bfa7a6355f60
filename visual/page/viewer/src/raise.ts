/**
 * The slider of the raising angle, which is also the chart: along its track runs the pull, with
 * the angles where something stops or needs care. One control, worked by pointer or keys.
 */

import { calm, element } from "./dom.ts";
import { markEdges } from "./edges.ts";
import { RaiseChart } from "./raise-chart.ts";
import { raiseWords } from "./raise-words.ts";
import type { Viewer } from "./viewer.ts";

const SPEED = 9; // degrees a second while playing

export class RaiseSlider {
  readonly root = element("section", "hm-raise");
  private readonly viewer: Viewer;
  private readonly track = element("div", "hm-track");
  private readonly playWord = element("span", "");
  private readonly play = element("button", "hm-play", this.playWord);
  private readonly up = element("button", "hm-standing", "Stand it up");
  private readonly bare = element("button", "hm-bare", "Bare mast");
  private readonly numbers = element("div", "hm-numbers");
  private readonly chart: RaiseChart;
  private playing = 0;
  /** Told when the raise begins to play. */
  began: () => void = () => {};

  constructor(viewer: Viewer) {
    this.viewer = viewer;
    this.chart = new RaiseChart(viewer);
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
    markEdges(this.numbers);
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
    this.began();
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
      this.viewer.chooseAngle(this.chart.angleAt(event.clientX - box.left));
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

  private redraw(): void {
    this.track.replaceChildren(this.chart.draw(this.track.clientWidth));
    this.follow();
  }

  private follow(): void {
    const { angle } = this.viewer;
    const shown = angle === "standing" ? 90 : angle;
    this.chart.point(shown);
    this.root.classList.toggle("hm-is-standing", angle === "standing");
    this.up.textContent = angle === "standing" ? "Lay it down" : "Stand it up";
    this.bare.hidden = (this.viewer.data.forces?.runs.length ?? 0) < 2;
    this.bare.setAttribute("aria-pressed", `${this.viewer.rig.firstRaise}`);
    const words = raiseWords(this.viewer, shown);
    this.track.setAttribute("aria-valuemin", this.first.toFixed(1));
    this.track.setAttribute("aria-valuemax", "90");
    this.track.setAttribute("aria-valuenow", shown.toFixed(1));
    this.track.setAttribute("aria-valuetext", words.map(([word, text]) => `${word} ${text}`).join(", "));
    const cells = words.map(([word, text]) => element("span", "hm-number", element("small", "", word), element("b", "", text)));
    this.numbers.replaceChildren(...cells);
    this.label();
  }

  private label(): void {
    const playing = this.playing !== 0;
    this.play.setAttribute("aria-label", playing ? "Pause" : "Play the raise");
    this.playWord.textContent = playing ? "Pause" : "Raise it";
    this.play.classList.toggle("hm-is-playing", playing);
  }
}
