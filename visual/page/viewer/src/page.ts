/** The page: a viewer of the data that stands in the file itself. */

import type { Angle } from "./rig.ts";
import type { PageData } from "./data.ts";
import type { Vector3 } from "three";
import { element } from "./dom.ts";
import { Frame } from "./frame.ts";
import { neverChecked } from "./brief.ts";
import { seenFrom } from "./person.ts";
import { findingsTable } from "./table.ts";
import { verdictInFull } from "./verdict.ts";

async function start(): Promise<void> {
  const host = document.getElementById("hillmast-page");
  const text = document.getElementById("hillmast-data")?.textContent;
  if (!host || !text) return;
  const data = JSON.parse(await inflated(text)) as PageData;
  let frame: Frame;
  try {
    frame = new Frame(host, data);
  } catch (error) {
    inWords(host, data);
    throw error;
  }
  await frame.viewer.ground.ready;
  const { viewer } = frame;
  viewer.stage.start();
  // what tests, and curious people at the console, hold on to
  Object.assign(window, {
    hillmast: {
      frame,
      viewer,
      position: (name: string) => viewer.place(name)?.toArray() ?? null,
      raise: (angle: Angle) => viewer.setAngle(angle),
      seen: (eye: Vector3) => seenFrom(viewer, eye),
    },
  });
}

/** What can be said without a drawing: cautions and findings. */
function inWords(host: HTMLElement, data: PageData): void {
  const { site } = data;
  const cautions = `Planning aid, not a stamped design. ${site.standing} ${site.cautions.join(" ")}`;
  const words = element("div", "hm-words", element("h1", "", site.name), element("p", "", cautions));
  if (data.brief) words.append(verdictInFull(data.brief.verdict), neverChecked(data.brief));
  words.append(findingsTable(data, site.units));
  host.replaceChildren(words);
}

/** The data stands in the file as deflated bytes in base64. */
async function inflated(text: string): Promise<string> {
  const bytes = Uint8Array.from(atob(text.trim()), (sign) => sign.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Response(stream).text();
}

start().catch((error: unknown) => {
  const note = document.createElement("p");
  note.className = "hm-failed";
  note.textContent = `This page cannot be drawn here: ${error instanceof Error ? error.message : error}`;
  document.body.prepend(note);
});
