/** The sites of a folder, and starting a new one by dropping a file. */

import { button, element } from "./dom.ts";
import { type Api, Refused } from "./live-api.ts";
import type { SiteEntry } from "./live-types.ts";

export interface SiteList {
  folder: string;
  first: string;
  sites: SiteEntry[];
}

export function sitesPage(list: SiteList, open: (key: string) => void): HTMLElement {
  const rows = list.sites.map((site) => {
    const word = site.name || site.file;
    const row = element("li", "", element("span", "hm-live-file", site.file));
    if (site.problem) row.append(element("b", "", word), element("p", "hm-live-wrong", site.problem));
    else row.prepend(button(word, () => open(site.key)));
    return row;
  });
  return element(
    "main",
    "hm-live-sites",
    element("h1", "", `Sites in ${list.folder}`),
    rows.length ? element("ul", "", ...rows) : element("p", "", "There is no site file here yet."),
    element("p", "hm-live-drop", "Drop ground heights (GeoTIFF, ASCII grid) or a table of surveyed points here to start a new site."),
    element("p", "hm-hint", "Planning aid, not a stamped design."),
  );
}

/** Take files that are dropped anywhere: ground data start a site, a vector file joins the open one. */
export function takeDrops(
  api: Api,
  current: () => { key: string; version: number } | null,
  opened: (key: string) => void,
  failed: (words: string) => void,
): void {
  addEventListener("dragover", (event) => {
    event.preventDefault();
    document.body.classList.add("hm-live-over");
  });
  addEventListener("dragleave", () => document.body.classList.remove("hm-live-over"));
  addEventListener("drop", (event) => {
    event.preventDefault();
    document.body.classList.remove("hm-live-over");
    const file = event.dataTransfer?.files[0];
    if (file) void take(file);
  });

  async function take(file: File): Promise<void> {
    const asked = new URLSearchParams({ name: file.name });
    const vector = /\.(geojson|json|gpkg|kml)$/i.test(file.name);
    const open = current();
    if (vector && open) {
      asked.set("for", open.key);
      asked.set("version", String(open.version));
    } else {
      const site = prompt("A new site begins. Name of its folder:", file.name.replace(/\.[^.]*$/, ""));
      if (site === null) return;
      asked.set("site", site);
      if (/\.(csv|txt)$/i.test(file.name)) {
        const crs = prompt("Coordinate system of the points, such as EPSG:32630; empty for a plain metre grid:", "");
        if (crs === null) return;
        if (crs) asked.set("crs", crs);
      }
    }
    try {
      opened((await api.send<{ key: string }>(`drop?${asked}`, file)).key);
    } catch (error) {
      failed(error instanceof Refused ? error.message : "The file could not be sent.");
    }
  }
}
