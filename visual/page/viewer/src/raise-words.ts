/** What is said beside the slider of the raise. */

import type { Finding, Units } from "./data.ts";
import { floats, type Packed } from "./packed.ts";
import { angleText, forceText, quantityText } from "./units.ts";
import type { Viewer } from "./viewer.ts";

/** The numbers of the raise at an angle that is shown, each with what it is. */
export function raiseWords(viewer: Viewer, angle: number): [string, string][] {
  const { data, units, rig } = viewer;
  if (viewer.angle === "standing") return [["mast", "standing, on all its wires"]];
  const row = Math.round(rig.row(angle));
  const found: [string, string][] = [["raising angle", angleText(angle)]];
  const known = (one: { values: Packed }): boolean => Number.isFinite(floats(one.values)[row]);
  const mine = data.chart.curves.filter((one) => one.bare === (rig.isBare && data.chart.bareSeries !== null));
  const pull = mine.find(known) ?? data.chart.curves.find(known) ?? data.chart.curves[0];
  // of which raise it is, where there are two
  const which = data.chart.bareSeries === null || !pull ? "" : pull.bare ? ", bare mast" : ", with the head";
  if (pull) found.push([data.chart.title.toLowerCase() + which, forceText(floats(pull.values)[row] ?? NaN, units)]);
  const limit = data.chart.limits.find(known);
  if (limit) found.push([limit.name, forceText(floats(limit.values)[row] ?? NaN, units)]);
  for (const name of ["thrust of the gin pole", "travel so far"]) {
    const all = rig.isBare ? (data.chart.bareSeries ?? data.chart.series) : data.chart.series;
    const series = all.find((one) => one.word === name);
    const value = series ? (floats(series.values)[row] ?? NaN) : NaN;
    if (series && Number.isFinite(value)) found.push(seriesWords(name, value, series.unit, units));
  }
  const there = data.chart.bands.filter((one) => one.from <= angle && angle <= one.to);
  const band = there.find((one) => one.kind !== "bare" || angle < data.rig.headFrom - 1e-6);
  if (band) found.splice(1, 0, ["here", band.word]);
  for (const one of signsAt(viewer, angle)) found.splice(1, 0, [one.status, `${one.check}, ${one.subject}`]);
  return found;
}

const AT = 0.3; // degrees from a finding that still are its angle

/** What asks for attention at an angle, worst first. */
function signsAt(viewer: Viewer, angle: number): Finding[] {
  const { findings } = viewer.data;
  const there = findings.filter((one) => one.status !== "ok" && one.angle !== null && Math.abs(one.angle - angle) < AT);
  return there.slice(0, 2).reverse();
}

/** A value with its word; a gin pole that is pulled instead of pushed says so. */
export function seriesWords(word: string, value: number, unit: string, units: Units): [string, string] {
  const pulled = word.startsWith("thrust") && value < 0;
  return [pulled ? "gin pole pulled off its foot by" : word, quantityText(pulled ? -value : value, unit, units)];
}
