/** North arrow and scale bar on the drawing. */

import { Vector2 } from "three";
import type { Boxes } from "./spots.ts";
import { drawText, textBox } from "./spots.ts";
import { roundLength } from "./units.ts";
import type { Viewer } from "./viewer.ts";

const INK = "#22201e";
const NARROW = 560; // pixels: in a narrower picture the bar stands over what covers its lower edge

/** A compass needle that lies as north lies on the picture. */
export function drawNorth(ink: CanvasRenderingContext2D, viewer: Viewer, boxes: Boxes): void {
  const { bearing, height } = viewer.stage.eye.stand;
  const middle = new Vector2(viewer.stage.width - 40, viewer.stage.height - 46);
  const reach = 20;
  const low = Math.max(0.28, Math.abs(Math.sin(height)));
  // where a level direction goes on the picture: to the right, and away from the eye
  const place = (turn: number, share: number): Vector2 => {
    const away = turn - (bearing + Math.PI);
    return new Vector2(
      middle.x + share * reach * Math.sin(away),
      middle.y - share * reach * Math.cos(away) * low,
    );
  };
  ink.lineWidth = 1;
  ink.strokeStyle = "rgba(34, 32, 30, 0.45)";
  ink.beginPath();
  ink.ellipse(middle.x, middle.y, reach, reach * low, 0, 0, 7);
  ink.stroke();
  fill(ink, [place(0, 1), place(Math.PI / 2, 0.28), place(-Math.PI / 2, 0.28)], INK);
  fill(ink, [place(Math.PI, 1), place(Math.PI / 2, 0.28), place(-Math.PI / 2, 0.28)], "#fffdf7");
  const letter = textBox(ink, ["N"], 12);
  drawText(ink, { block: letter, middle: place(0, 1.45), slope: 0 }, INK, true);
  boxes.take({ x: middle.x - 32, y: middle.y - 34, width: 64, height: 68 });
}

/** A scale bar; in perspective it holds at the middle of the picture only, so none is drawn. */
export function drawScale(ink: CanvasRenderingContext2D, viewer: Viewer, boxes: Boxes): void {
  const { stage } = viewer;
  if (!stage.eye.stand.flat) return;
  const perPixel = stage.eye.perPixel(stage.height);
  const { metres, text } = roundLength(Math.min(150, stage.width / 4) * perPixel, viewer.units);
  const under = stage.width < NARROW ? viewer.covered().bottom : 0;
  const [x, y, long] = [18, stage.height - 22 - under, metres / perPixel];
  for (const [width, color] of [[6, "#fffdf7"], [2, INK]] as const) {
    ink.lineWidth = width;
    ink.strokeStyle = color;
    ink.lineCap = "square";
    ink.beginPath();
    ink.moveTo(x, y - 5);
    ink.lineTo(x, y);
    ink.lineTo(x + long, y);
    ink.lineTo(x + long, y - 5);
    ink.stroke();
  }
  const block = textBox(ink, [text], 12);
  drawText(ink, { block, middle: new Vector2(x + long / 2, y - 11), slope: 0 }, INK);
  boxes.take({ x: x - 6, y: y - 22, width: long + 12, height: 30 });
}

function fill(ink: CanvasRenderingContext2D, corners: Vector2[], color: string): void {
  ink.beginPath();
  corners.forEach((one, k) => (k ? ink.lineTo(one.x, one.y) : ink.moveTo(one.x, one.y)));
  ink.closePath();
  ink.fillStyle = color;
  ink.fill();
  ink.strokeStyle = INK;
  ink.lineWidth = 1;
  ink.stroke();
}
