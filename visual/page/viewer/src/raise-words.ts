/** What is said beside the slider of the raise. */

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
    if (series && Number.isFinite(value)) found.push([name, quantityText(value, series.unit, units)]);
  }
  const there = data.chart.bands.filter((one) => one.from <= angle && angle <= one.to);
  const band = there.find((one) => one.kind !== "bare" || angle < data.rig.headFrom - 1e-6);
  if (band) found.splice(1, 0, ["here", band.word]);
  return found;
}
