/** A picture for paper: a view of its own at a size of its own, while the screen stays as it is. */

import type { ViewData } from "./data.ts";
import type { Lettering } from "./lettering.ts";
import type { Angle } from "./rig.ts";
import { standOf } from "./stand.ts";
import { ASKED_FOR, type Viewer } from "./viewer.ts";

/** Letters are as large on paper as they are here on a sheet 186 mm wide. */
const SIZES = {
  whole: { width: 900, height: 500, ratio: 2 },
  /** Leaves room on page 1 for the verdict and for what the signs mean. */
  low: { width: 900, height: 425, ratio: 2 },
  /** Half as wide: its letters are a little smaller on paper, but not half as large. */
  half: { width: 620, height: 344, ratio: 2 },
};

/** How a picture for paper is drawn, if not as wide as the sheet with the mast standing. */
export interface Aside {
  size?: keyof typeof SIZES;
  angle?: Angle;
}

/** Return a view as a picture, with only what is always shown. */
export function drawAside(viewer: Viewer, lettering: Lettering, view: ViewData, { size = "whole", angle = "standing" }: Aside = {}): string {
  const { width, height } = SIZES[size];
  const back = [keepStage(viewer), keepShown(viewer), keepPainters(lettering)];
  try {
    viewer.view = view;
    viewer.hidden.clear();
    for (const group of ASKED_FOR) viewer.hidden.add(group);
    viewer.rig.set(angle);
    viewer.applyGroups();
    viewer.stage.size(SIZES[size]);
    viewer.stage.eye.stand = standOf(view, width / height);
    return snapshot(viewer, lettering);
  } finally {
    for (const one of back.reverse()) one();
    viewer.applyGroups();
  }
}

function keepStage(viewer: Viewer): () => void {
  const { stage } = viewer;
  const { width, height } = stage;
  const ratio = stage.renderer.getPixelRatio();
  const stand = { ...stage.eye.stand, target: stage.eye.stand.target.clone() };
  const cuts = [stage.cut, stage.far].map((plane) => ({ plane, was: plane.clone() }));
  for (const { plane } of cuts) {
    plane.normal.set(0, 0, 1);
    plane.constant = 1e6;
  }
  return () => {
    stage.size({ width, height, ratio });
    stage.eye.stand = stand;
    for (const { plane, was } of cuts) plane.copy(was);
  };
}

function keepShown(viewer: Viewer): () => void {
  const { view, angle } = viewer;
  const hidden = [...viewer.hidden];
  return () => {
    viewer.view = view;
    viewer.hidden.clear();
    for (const group of hidden) viewer.hidden.add(group);
    viewer.rig.set(angle);
  };
}

/** What somebody marked or measured on the screen is not part of the plan. */
function keepPainters(lettering: Lettering): () => void {
  const painters = lettering.painters.splice(0);
  const { named } = lettering;
  lettering.named = true;
  return () => {
    lettering.painters.push(...painters);
    lettering.named = named;
  };
}

/** The scene with its lettering as a picture. */
export function snapshot(viewer: Viewer, lettering: Lettering): string {
  viewer.stage.draw();
  const { canvas } = viewer.stage;
  const sheet = document.createElement("canvas");
  [sheet.width, sheet.height] = [canvas.width, canvas.height];
  const ink = sheet.getContext("2d");
  if (!ink) return "";
  ink.fillStyle = viewer.stage.eye.stand.flat ? "#ffffff" : "#eef3f6";
  ink.fillRect(0, 0, sheet.width, sheet.height);
  ink.drawImage(canvas, 0, 0);
  ink.drawImage(lettering.canvas, 0, 0, sheet.width, sheet.height);
  return sheet.toDataURL("image/png");
}
