/**
 * A ground with fewer triangles: square blocks of many cells where few heights tell as much.
 *
 * A block is drawn as a fan from its middle to the heights on its rim that its neighbours use, so
 * that nothing gapes. What it leaves out lies nearer to the fan than is allowed, see `strays`.
 */

/** Heights on a grid, rows from south to north; NaN where unknown. */
export interface Grid {
  heights: ArrayLike<number>;
  rows: number;
  columns: number;
}

/** How far the drawn ground may lie off the true one in a block. [m] */
export type Allowed = (row: number, column: number, size: number) => number;

const LARGEST = 64; // cells along a block

/** Triangles of a grid as rows of three places in it, counter-clockwise from above. */
export function fewTriangles(grid: Grid, allowed: Allowed): Uint32Array {
  const { rows, columns } = grid;
  const blocks: [number, number, number][] = [];
  const visit = (row: number, column: number, size: number): void => {
    if (row >= rows - 1 || column >= columns - 1) return;
    if (size === 1 || isEven(grid, row, column, size, allowed)) {
      blocks.push([row, column, size]);
      return;
    }
    const half = size / 2;
    for (const [r, c] of [[0, 0], [0, half], [half, 0], [half, half]] as const) visit(row + r, column + c, half);
  };
  for (let row = 0; row < rows; row += LARGEST) {
    for (let column = 0; column < columns; column += LARGEST) visit(row, column, LARGEST);
  }
  const used = new Uint8Array(rows * columns);
  for (const [row, column, size] of blocks) {
    for (const r of [row, row + size]) for (const c of [column, column + size]) used[r * columns + c] = 1;
  }
  const found: number[] = [];
  for (const [row, column, size] of blocks) {
    if (size === 1) addCell(found, grid, row, column);
    else addFan(found, used, columns, row, column, size);
  }
  return Uint32Array.from(found);
}

function isEven(grid: Grid, row: number, column: number, size: number, allowed: Allowed): boolean {
  if (row + size >= grid.rows || column + size >= grid.columns) return false;
  // heights of finer neighbours on the rim move the fan as far again as it strays there
  return !strays(grid, row, column, size, allowed(row, column, size) / 2);
}

/**
 * Whether a block strays farther from the ground than a limit, anywhere.
 *
 * Both are made of flat triangles, so it is enough to look where their edges meet: at the heights
 * of the grid, and in the middles of the cells along the edge of the fan that crosses their
 * diagonals.
 */
function strays(grid: Grid, row: number, column: number, size: number, limit: number): boolean {
  const { heights, columns } = grid;
  const at = (r: number, c: number): number => heights[(row + r) * columns + column + c] as number;
  const half = size / 2;
  const middle = at(half, half);
  const corners = [at(0, 0), at(0, size), at(size, size), at(size, 0)] as const;
  const fan = (r: number, c: number): number => {
    const [u, v] = [c / half - 1, r / half - 1];
    const out = Math.max(Math.abs(u), Math.abs(v));
    if (out === 0) return middle;
    const [a, b, along] = sideOf(corners, u, v);
    return middle + out * ((a * (1 - along / out) + b * (1 + along / out)) / 2 - middle);
  };
  for (let r = 0; r <= size; r++) {
    for (let c = 0; c <= size; c++) if (!(Math.abs(at(r, c) - fan(r, c)) <= limit)) return true;
  }
  for (let k = 0; k < size; k++) {
    // true there: half way along the diagonal of the cell
    const real = (at(k, size - 1 - k) + at(k + 1, size - k)) / 2;
    if (!(Math.abs(real - fan(k + 0.5, size - 0.5 - k)) <= limit)) return true;
  }
  return false;
}

/** The corners of the side that a place looks at, and how far along it the place is. */
function sideOf(corners: readonly [number, number, number, number], u: number, v: number): [number, number, number] {
  const [southWest, southEast, northEast, northWest] = corners;
  if (Math.abs(u) >= Math.abs(v)) return u > 0 ? [southEast, northEast, v] : [southWest, northWest, v];
  return v > 0 ? [northWest, northEast, u] : [southWest, southEast, u];
}

/** A single cell as the ground itself has it: split from south-west to north-east. */
function addCell(found: number[], grid: Grid, row: number, column: number): void {
  const { heights, columns } = grid;
  const a = row * columns + column;
  const known = (k: number): boolean => !Number.isNaN(heights[k] as number);
  const across = a + columns + 1;
  if (!known(a) || !known(across)) return;
  if (known(a + 1)) found.push(a, a + 1, across);
  if (known(a + columns)) found.push(a, across, a + columns);
}

function addFan(found: number[], used: Uint8Array, columns: number, row: number, column: number, size: number): void {
  const middle = (row + size / 2) * columns + column + size / 2;
  const rim: number[] = [];
  const step = (from: number, by: number): void => {
    for (let k = 0; k < size; k++) if (used[from + k * by]) rim.push(from + k * by);
  };
  const south = row * columns + column;
  const north = south + size * columns;
  step(south, 1);
  step(south + size, columns);
  step(north + size, -1);
  step(north, -columns);
  rim.forEach((one, k) => found.push(middle, one, rim[(k + 1) % rim.length] as number));
}
