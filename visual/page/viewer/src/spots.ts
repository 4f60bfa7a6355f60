/** Places for texts on the drawing: each takes room, and none may cover another. */

import { Vector2 } from "three";
import type { Strokes } from "./strokes.ts";

export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

export interface Block {
  lines: string[];
  size: number;
  width: number;
  height: number;
}

/** Where a text stands: its middle, its slope, and the thing it names if it stands apart. */
export interface Spot {
  block: Block;
  middle: Vector2;
  slope: number;
  leader?: Vector2;
}

const FACE = 'system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", sans-serif';
const LEADERS = [22, 48]; // pixels that a name may stand away from its place, with a line to it
const LEADING = 1.18;

export class Boxes {
  /** Strokes of the drawing that a name should keep off; it must only while it is told to. */
  strokes: Strokes | null = null;
  strict = false;
  private readonly taken: Box[] = [];
  private readonly width: number;
  private readonly height: number;

  constructor(width: number, height: number) {
    this.width = width;
    this.height = height;
  }

  take(box: Box): void {
    this.taken.push(box);
  }

  /** Keep a line between two places free of texts. */
  takeLine(from: Vector2, to: Vector2, wide: number): void {
    const steps = Math.min(400, Math.ceil(from.distanceTo(to) / wide));
    for (let k = 0; k <= steps; k++) {
      const at = from.clone().lerp(to, steps ? k / steps : 0);
      if (at.x > -wide && at.y > -wide && at.x < this.width + wide && at.y < this.height + wide) this.take(around(at, wide, wide));
    }
  }

  isFree(box: Box): boolean {
    if (box.x < 2 || box.y < 2) return false;
    if (box.x + box.width > this.width - 2 || box.y + box.height > this.height - 2) return false;
    if (this.taken.some((one) => overlap(one, box))) return false;
    return !this.strict || (this.strokes?.isClear(box) ?? true);
  }

  /** Take the room if it is free. */
  claim(box: Box): boolean {
    if (!this.isFree(box)) return false;
    this.take(box);
    return true;
  }

  centred(block: Block, middle: Vector2): Spot | null {
    return this.claim(around(middle, block.width, block.height))
      ? { block, middle, slope: 0 }
      : null;
  }

  along(block: Block, middle: Vector2, next: Vector2): Spot | null {
    let slope = Math.atan2(next.y - middle.y, next.x - middle.x);
    if (Math.abs(slope) > Math.PI / 2) slope -= Math.sign(slope) * Math.PI;
    const [c, s] = [Math.abs(Math.cos(slope)), Math.abs(Math.sin(slope))];
    const width = block.width * c + block.height * s;
    const height = block.width * s + block.height * c;
    return this.claim(around(middle, width, height)) ? { block, middle, slope } : null;
  }
}

/** Return how much room a text needs. */
export function textBox(
  ink: CanvasRenderingContext2D,
  lines: string[],
  size: number,
  strong = false,
): Block {
  ink.font = fontOf(size, strong);
  const width = Math.max(...lines.map((line) => ink.measureText(line).width)) + 8;
  return { lines, size, width, height: lines.length * size * LEADING + 3 };
}

/** Find room beside a place: near it, or a little away with a line to it. */
export function placeBeside(boxes: Boxes, block: Block, at: Vector2, gap = 9): Spot | null {
  const [w, h] = [block.width / 2, block.height / 2];
  const near: [number, number][] = [[w + gap, 0], [-w - gap, 0], [0, -h - gap - 1], [0, h + gap + 1]];
  const corners: [number, number][] = [[w + 6, -h - 6], [-w - 6, -h - 6], [w + 6, h + 6], [-w - 6, h + 6]];
  for (const [x, y] of [...near, ...corners]) {
    const middle = new Vector2(at.x + x, at.y + y);
    if (boxes.claim(around(middle, block.width, block.height))) return { block, middle, slope: 0 };
  }
  for (const away of LEADERS) {
    for (const [x, y] of [...corners, ...near]) {
      const far = new Vector2(at.x + x + Math.sign(x) * away, at.y + y + Math.sign(y) * away);
      if (boxes.claim(around(far, block.width, block.height))) {
        return { block, middle: far, slope: 0, leader: at };
      }
    }
  }
  return null;
}

/** As `placeBeside`, for what must be said: if need be farther off, with a line to its place. */
export function placeAnywhere(boxes: Boxes, block: Block, at: Vector2, gap = 9): Spot | null {
  const beside = placeBeside(boxes, block, at, gap);
  if (beside) return beside;
  for (let far = 1; far <= 7; far++) {
    const high = block.height / 2 + gap + 18 * far;
    for (const y of [at.y - high, at.y + high]) {
      for (const share of [0, 0.5, -0.5, 1, -1, 1.5, -1.5]) {
        const middle = new Vector2(at.x + share * block.width, y);
        if (boxes.claim(around(middle, block.width, block.height))) return { block, middle, slope: 0, leader: at };
      }
    }
  }
  return null;
}

/** Write a text with a pale edge, so that it reads over anything. */
export function drawText(
  ink: CanvasRenderingContext2D,
  spot: Spot,
  color: string,
  strong = false,
): void {
  const { block, middle, slope, leader } = spot;
  if (leader) drawLeader(ink, leader, middle, block);
  ink.save();
  ink.translate(middle.x, middle.y);
  ink.rotate(slope);
  ink.font = fontOf(block.size, strong);
  ink.textAlign = "center";
  ink.textBaseline = "middle";
  ink.lineJoin = "round";
  ink.strokeStyle = "rgba(255, 253, 247, 0.92)";
  ink.lineWidth = 3.5;
  ink.fillStyle = color;
  const step = block.size * LEADING;
  block.lines.forEach((line, k) => {
    const y = (k - (block.lines.length - 1) / 2) * step;
    ink.strokeText(line, 0, y);
    ink.fillText(line, 0, y);
  });
  ink.restore();
}

function fontOf(size: number, strong: boolean): string {
  return `${strong ? "600 " : ""}${size}px ${FACE}`;
}

function drawLeader(ink: CanvasRenderingContext2D, from: Vector2, to: Vector2, block: Block): void {
  const x = Math.min(Math.max(from.x, to.x - block.width / 2), to.x + block.width / 2);
  const y = from.y < to.y ? to.y - block.height / 2 : to.y + block.height / 2;
  ink.strokeStyle = "rgba(34, 32, 30, 0.65)";
  ink.lineWidth = 0.9;
  ink.beginPath();
  ink.moveTo(from.x, from.y);
  ink.lineTo(x, y);
  ink.stroke();
}

function around(middle: Vector2, width: number, height: number): Box {
  return { x: middle.x - width / 2, y: middle.y - height / 2, width, height };
}

function overlap(a: Box, b: Box): boolean {
  return (
    a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height
  );
}
