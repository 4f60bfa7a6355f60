/** The four statuses: each has a word, a shape and a colour. */

import { svg } from "./dom.ts";
import type { Status } from "./data.ts";

export const STATUSES: readonly Status[] = ["stop", "not checked", "caution", "ok"];

export const COLOURS: Record<Status, string> = {
  stop: "#a83a00",
  "not checked": "#7a3560",
  caution: "#7a5600",
  ok: "#00694c",
};

/** Outlines in a box of 16: octagon, open circle, triangle, disc. */
export const OUTLINES: Record<Status, string> = {
  stop: "M5 1h6l4 4v6l-4 4H5l-4-4V5z",
  "not checked": "M8 1.5a6.5 6.5 0 1 0 .01 0zM8 4.3a3.7 3.7 0 1 1-.01 0z",
  caution: "M8 1.2 15.4 14.6H.6z",
  ok: "M8 3a5 5 0 1 0 .01 0z",
};

export function statusSign(status: Status): SVGElement {
  const path = svg("path", { d: OUTLINES[status], fill: COLOURS[status], "fill-rule": "evenodd" });
  return svg("svg", { viewBox: "0 0 16 16", class: "hm-sign", "aria-hidden": "true" }, path);
}
