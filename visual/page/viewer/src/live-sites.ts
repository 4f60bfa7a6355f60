/** The sites of a folder, and starting a new one by dropping a file. */

import { button, element } from "./dom.ts";
import { type Api, Refused } from "./live-api.ts";
import { ask, type Question, type Wrong, wrongOf } from "./live-dialog.ts";
import type { SiteEntry } from "./live-types.ts";

export interface SiteList {
  folder: string;
  first: string;
  sites: SiteEntry[];
}

export function sitesPage(list: SiteList, open: (key: string) => void, take: (file: File) => void): HTMLElement {
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
    element("p", "hm-live-drop-or", chooser(take)),
    element("p", "hm-hint", "Planning aid, not a stamped design."),
  );
}

/** The same without dragging: for the keyboard, and for a phone. */
function chooser(take: (file: File) => void): HTMLElement {
  const field = element("input");
  field.type = "file";
  field.addEventListener("change", () => {
    const file = field.files?.[0];
    if (file) take(file);
    field.value = "";
  });
  return element("label", "", "or choose a file: ", field);
}

/** Take files that are dropped anywhere: ground data start a site, a vector file joins the open one. */
export function takeDrops(
  api: Api,
  current: () => { key: string; version: number } | null,
  opened: (key: string) => void,
  failed: (words: string) => void,
): (file: File) => void {
  addEventListener("dragover", (event) => {
    event.preventDefault();
    document.body.classList.add("hm-live-over");
  });
  addEventListener("dragleave", () => document.body.classList.remove("hm-live-over"));
  addEventListener("drop", (event) => {
    event.preventDefault();
    document.body.classList.remove("hm-live-over");
    const file = event.dataTransfer?.files[0];
    if (file) take(file);
  });

  function take(file: File): void {
    const vector = /\.(geojson|json|gpkg|kml)$/i.test(file.name);
    const open = current();
    if (vector && open) {
      const joined = { for: open.key, version: String(open.version) };
      void send(file, joined).then((wrong) => wrong && failed(wrong.words));
    } else begin(file);
  }

  function begin(file: File): void {
    const questions: Question[] = [
      { name: "site", label: "Name of its folder", value: file.name.replace(/\.[^.]*$/, "") },
    ];
    if (/\.(csv|txt)$/i.test(file.name)) {
      const hint = "Such as EPSG:32630; empty for a plain metre grid";
      questions.push({ name: "crs", label: "Coordinate system of the points", value: "", hint, optional: true });
    }
    const about = `A new site begins around ${file.name}.`;
    ask({ title: "New site", about, questions, go: "Begin", act: (values) => send(file, values) });
  }

  /** Send a file; what comes back is what is wrong with it. */
  async function send(file: File, about: Record<string, string>): Promise<Wrong | null> {
    const given = Object.entries(about).filter(([, value]) => value);
    const asked = new URLSearchParams([["name", file.name], ...given]);
    try {
      opened((await api.send<{ key: string }>(`drop?${asked}`, file)).key);
      return null;
    } catch (error) {
      return error instanceof Refused ? wrongOf(error) : { words: "The file could not be sent.", key: "" };
    }
  }

  return take;
}
