/** Where mast, wires and lines run on the drawing: names keep off them where there is room. */

import { Vector3 } from "three";
import type { Box } from "./spots.ts";
import type { Viewer } from "./viewer.ts";

const CELL = 5; // pixels
const GROUPS = new Set(["mast", "wires", "lines"]);
const ROLES = new Set(["ground_line"]);

export class Strokes {
  private readonly columns: number;
  private readonly rows: number;
  private readonly cells: Uint8Array;

  constructor(width: number, height: number) {
    this.columns = Math.ceil(width / CELL) + 1;
    this.rows = Math.ceil(height / CELL) + 1;
    this.cells = new Uint8Array(this.columns * this.rows);
  }

  /** Keep off a straight stroke. [px] */
  add(a: { x: number; y: number }, b: { x: number; y: number }): void {
    const long = Math.hypot(b.x - a.x, b.y - a.y);
    if (!(long < 20_000)) return;
    const steps = Math.max(1, Math.ceil(long / (0.7 * CELL)));
    for (let k = 0; k <= steps; k++) {
      const column = Math.floor((a.x + ((b.x - a.x) * k) / steps) / CELL);
      const row = Math.floor((a.y + ((b.y - a.y) * k) / steps) / CELL);
      if (column >= 0 && row >= 0 && column < this.columns && row < this.rows) this.cells[row * this.columns + column] = 1;
    }
  }

  /** True if no stroke runs through a box. */
  isClear(box: Box): boolean {
    const [left, top] = [Math.max(0, Math.floor((box.x + 1) / CELL)), Math.max(0, Math.floor((box.y + 1) / CELL))];
    const right = Math.min(this.columns - 1, Math.floor((box.x + box.width - 1) / CELL));
    const low = Math.min(this.rows - 1, Math.floor((box.y + box.height - 1) / CELL));
    for (let row = top; row <= low; row++) {
      for (let column = left; column <= right; column++) if (this.cells[row * this.columns + column]) return false;
    }
    return true;
  }
}

/** The strokes of a scene as it is seen now. */
export function strokesOf(viewer: Viewer): Strokes {
  const { width, height } = viewer.stage;
  const found = new Strokes(width, height);
  for (const line of viewer.things.lines()) {
    const { group, role } = line.userData as { group: string; role: string };
    if (!GROUPS.has(group) && !ROLES.has(role)) continue;
    const start = line.geometry.getAttribute("instanceStart");
    const end = line.geometry.getAttribute("instanceEnd");
    for (let k = 0; k < start.count; k++) {
      const a = viewer.pixel(new Vector3().fromBufferAttribute(start, k).applyMatrix4(line.matrixWorld));
      const b = viewer.pixel(new Vector3().fromBufferAttribute(end, k).applyMatrix4(line.matrixWorld));
      if (a && b) found.add(a, b);
    }
  }
  return found;
}
