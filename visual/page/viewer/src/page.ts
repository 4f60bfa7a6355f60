/** The page: a viewer of the data that stands in the file itself. */

import type { PageData } from "./data.ts";
import { Viewer } from "./viewer.ts";

function start(): void {
  const host = document.getElementById("hillmast");
  const text = document.getElementById("hillmast-data")?.textContent;
  if (!host || !text) return;
  const viewer = new Viewer(host, JSON.parse(text) as PageData);
  Object.assign(window, { hillmast: { viewer } });
}

start();
