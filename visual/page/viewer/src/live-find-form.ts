/** Where to search, and how far a search is. */

import { button, choice, element } from "./dom.ts";
import type { Units } from "./data.ts";
import type { Looked, Progress } from "./live-find-types.ts";
import { sentence } from "./live-api.ts";

const FOOT = 0.3048;
const PATIENCE = 3000; // milliseconds after which a wait is explained

/** What a search does one after the other, as the server calls it, in words, and what is counted. */
const STEPS = [
  { doing: "searching", word: "all the ground roughly", counts: "parts" },
  { doing: "looking exactly", word: "close calls exactly", counts: "places" },
  { doing: "checking the best places", word: "the best places in full", counts: "pass" },
];

type Area = "land" | "radius";

export class SearchForm {
  readonly root = element("form", "hm-find-form");
  private readonly start: (body: Record<string, unknown>) => void;
  private readonly radius = element("input", "hm-find-radius");
  private readonly unit = element("span", "", "m");
  private readonly go = element("button", "hm-button hm-first-way", "Search");
  private readonly running: Running;
  private readonly asked: HTMLElement;
  private area: Area = "land";
  private units: Units;

  constructor(start: (body: Record<string, unknown>) => void, stop: () => void, units: Units) {
    this.start = start;
    this.units = units;
    this.running = new Running("Searching", stop);
    this.go.type = "submit";
    Object.assign(this.radius, { type: "text", inputMode: "decimal", value: "50" });
    this.radius.setAttribute("aria-label", "How far from the base");
    this.radius.addEventListener("focus", () => this.choose("radius"));
    const options: [Area, string][] = [["land", "all the land"], ["radius", "near the base"]];
    const where = choice("Look", options, "land", (area) => this.choose(area));
    const far = element("label", "hm-find-far", "within ", this.radius, " ", this.unit);
    far.hidden = true;
    this.asked = element("div", "hm-find-asked", where, far, this.go);
    this.root.append(this.asked, this.running.root);
    this.root.addEventListener("submit", (event) => {
      event.preventDefault();
      this.search();
    });
    this.setUnits(units, true);
  }

  /** Begin a search as the form says. */
  search(): void {
    const metres = Number(this.radius.value.replace(",", ".")) * (this.units === "metric" ? 1 : FOOT);
    this.start(this.area === "land" ? { area: "land" } : { area: "radius", radius: metres });
  }

  setUnits(units: Units, first = false): void {
    if (units === this.units && !first) return;
    if (first) this.radius.value = units === "metric" ? "50" : "150";
    else {
      const factor = units === "metric" ? FOOT : 1 / FOOT;
      this.radius.value = `${Math.round(Number(this.radius.value.replace(",", ".")) * factor)}`;
    }
    this.units = units;
    this.unit.textContent = units === "metric" ? "m" : "ft";
  }

  show(looked: Looked, elsewhere: boolean): void {
    this.asked.hidden = looked.running;
    this.go.textContent = looked.number ? "Search again" : "Search";
    this.go.disabled = elsewhere;
    const wait = "A search of another site is running; it must end first.";
    this.running.show(looked, elsewhere ? wait : "");
  }

  private choose(area: Area): void {
    this.area = area;
    const far = this.root.querySelector<HTMLElement>(".hm-find-far");
    if (far) far.hidden = area !== "radius";
  }
}

/** How far something is that takes a while, why it found nothing, and a way to stop it. */
export class Running {
  readonly root = element("div", "hm-find-running");
  private readonly word: string;
  private readonly bar = element("progress");
  private readonly said = element("p", "hm-find-said");
  private readonly stop: HTMLButtonElement | null;
  private since = 0;

  constructor(word: string, stop: (() => void) | null) {
    this.word = word;
    this.said.setAttribute("role", "status");
    this.bar.setAttribute("aria-label", word);
    this.stop = stop && button("Stop", stop);
    this.root.append(this.said, this.bar, ...(this.stop ? [this.stop] : []));
  }

  show(looked: Looked, otherwise = ""): void {
    const { running, progress, problems, stopped } = looked;
    this.bar.hidden = !running;
    if (this.stop) this.stop.hidden = !running;
    if (!running) this.since = 0;
    else if (!this.since) this.since = Date.now();
    if (running) this.fill(progress);
    else if (problems.length) this.say(problems.map(sentence).join(" "));
    else this.say(stopped ? "Stopped before anything was found." : otherwise);
  }

  private fill(progress: Progress | null): void {
    const share = progress?.total && progress.done ? progress.done / progress.total : null;
    if (share === null) this.bar.removeAttribute("value");
    else this.bar.value = share;
    this.say(progressText(this.word, progress, Date.now() - this.since > PATIENCE));
  }

  private say(words: string): void {
    if (this.said.textContent !== words) this.said.textContent = words;
    this.said.hidden = !words;
  }
}

/** What is being done and how long it takes; `long` if it has taken long already. */
export function progressText(word: string, progress: Progress | null, long: boolean): string {
  if (!progress || progress.doing === "preparing") {
    return long ? "Preparing … The very first time on a computer this takes about a minute." : `${word} …`;
  }
  const step = STEPS.findIndex((one) => one.doing === progress.doing);
  const { doing, counts } = STEPS[step] ?? { doing: progress.doing, counts: "parts" };
  const begins = step < 0 ? `${(doing[0] ?? "").toUpperCase()}${doing.slice(1)}` : `Step ${step + 1} of ${STEPS.length}, ${STEPS[step]?.word}`;
  const share = progress.total ? `: ${progress.done} of ${progress.total} ${counts}` : "";
  const note = progress.note ? `, ${progress.note}` : "";
  const left = progress.left === null ? "" : `, about ${timeText(progress.left)} left${step < 0 ? "" : " for this step"}`;
  return `${begins}${share}${note}${left} …`;
}

function timeText(seconds: number): string {
  if (seconds < 90) return `${Math.max(1, Math.round(seconds))} s`;
  return `${Math.round(seconds / 60)} min`;
}
