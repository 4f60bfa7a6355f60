/** The scale of the chart of the raise: how high it goes, and round forces along it. */

import type { ChartData, Units } from "./data.ts";
import { floats } from "./packed.ts";

const POUND_FORCE = 4.4482216152605; // [N]

/** The largest force that the chart must show; a limit far above the pull is left out. */
export function highest(chart: ChartData): number {
  const all = chart.curves.flatMap((one) => [...floats(one.values)]);
  const limits = chart.limits.flatMap((one) => [...floats(one.values)]);
  const most = Math.max(...all.filter(Number.isFinite), 1);
  const near = limits.filter((value) => Number.isFinite(value) && value < 1.6 * most);
  return Math.max(most, ...near) * 1.02;
}

/** A round force of about so many newtons, in the reader's units. */
export function roundForce(newtons: number, units: Units): number {
  const unit = units === "metric" ? 1000 : POUND_FORCE;
  const decade = 10 ** Math.floor(Math.log10(Math.max(1e-3, newtons / unit)));
  const step = [5, 2, 1].find((one) => one * decade <= newtons / unit) ?? 1;
  return step * decade * unit;
}

export function roundForceText(newtons: number, units: Units): string {
  return units === "metric" ? `${Number((newtons / 1000).toPrecision(3))} kN` : `${Number((newtons / POUND_FORCE).toPrecision(3))} lbf`;
}
