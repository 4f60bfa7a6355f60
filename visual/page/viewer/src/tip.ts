/** A card of words that stands beside a place of the drawing, and stays inside of it. */

import type { Vector2 } from "three";
import type { Stage } from "./stage.ts";

const [BESIDE, ABOVE, EDGE] = [16, 20, 6]; // pixels

/** Stand a card beside a pixel: to its right, or to its left where there is no room. */
export function standBeside(card: HTMLElement, pixel: Vector2, { width, height }: Pick<Stage, "width" | "height">): void {
  const wide = card.offsetWidth;
  const beside = pixel.x + BESIDE + wide > width ? pixel.x - BESIDE - wide : pixel.x + BESIDE;
  const x = Math.max(EDGE, Math.min(beside, width - wide - EDGE));
  const y = Math.min(Math.max(EDGE, pixel.y - ABOVE), height - card.offsetHeight - EDGE);
  card.style.transform = `translate(${x.toFixed(0)}px, ${y.toFixed(0)}px)`;
}
