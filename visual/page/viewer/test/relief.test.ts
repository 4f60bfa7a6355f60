import assert from "node:assert/strict";
import { test } from "node:test";
import type { GroundData } from "../src/layer-data.ts";
import { allowedAt, drawnGround } from "../src/ground.ts";
import { fewTriangles } from "../src/relief.ts";

const [rows, columns, step, west, south] = [91, 78, 2, -60, -70];
const data = { rows, columns, step, west, south } as GroundData;

/** A hill with a terrace edge, rough enough that blocks of all sizes are needed. */
function hill(): Float32Array {
  const found = new Float32Array(rows * columns);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const [x, y] = [west + c * step, south + r * step];
      const edge = x + 0.3 * y > 25 ? 3 : 0;
      found[r * columns + c] = 8 * Math.exp(-((x - 10) ** 2 + y ** 2) / 900) + edge + 0.02 * y;
    }
  }
  return found;
}

/** The true ground of `visual/scene/terrain.py`: cells split from south-west to north-east. */
function trueHeight(heights: Float32Array, u: number, v: number): number {
  const [i, j] = [Math.min(Math.floor(u), columns - 2), Math.min(Math.floor(v), rows - 2)];
  const at = (r: number, c: number): number => heights[r * columns + c] as number;
  const [a, b, low, high] = [u - i, v - j, at(j, i), at(j + 1, i + 1)];
  if (a >= b) return low + a * (at(j, i + 1) - low) + b * (high - at(j, i + 1));
  return low + b * (at(j + 1, i) - low) + a * (high - at(j + 1, i));
}

function area(a: number[], b: number[], c: number[]): number {
  const [p, q, r] = [a, b, c] as [number, number][];
  return ((q![0] - p![0]) * (r![1] - p![1]) - (q![1] - p![1]) * (r![0] - p![0])) / 2;
}

test("a plane takes hardly any triangles, and they cover it once", () => {
  const heights = Float32Array.from({ length: 129 * 129 }, (_, k) => 0.1 * (k % 129));
  const found = fewTriangles({ heights, rows: 129, columns: 129 }, () => 0.01);
  assert.ok(found.length / 3 <= 16);
  assert.equal(covered(found, 129), 128 * 128);
});

test("with no room for anything else every cell is drawn as it is", () => {
  const heights = hill();
  heights[50 * columns + 40] = NaN;
  const found = fewTriangles({ heights, rows, columns }, () => -1);
  // all six triangles at the unknown height are missing
  assert.equal(found.length / 3, 2 * (rows - 1) * (columns - 1) - 6);
  assert.equal(covered(found, columns), (rows - 1) * (columns - 1) - 3);
});

test("a rough ground is covered once, without gaps, by a part of its triangles", () => {
  const heights = hill();
  const found = fewTriangles({ heights, rows, columns }, () => 0.05);
  assert.ok(found.length / 3 < 0.6 * 2 * (rows - 1) * (columns - 1));
  assert.ok(Math.abs(covered(found, columns) - (rows - 1) * (columns - 1)) < 1e-6);
  // every edge inside belongs to two triangles: nothing gapes
  const edges = new Map<string, number>();
  for (let k = 0; k < found.length; k += 3) {
    const three = [found[k], found[k + 1], found[k + 2]] as number[];
    three.forEach((a, n) => {
      const key = [a, three[(n + 1) % 3] as number].sort((p, q) => p - q).join();
      edges.set(key, (edges.get(key) ?? 0) + 1);
    });
  }
  const rim = (k: number): boolean =>
    k < columns || k >= columns * (rows - 1) || k % columns === 0 || k % columns === columns - 1;
  for (const [key, count] of edges) {
    const [a, b] = key.split(",").map(Number) as [number, number];
    if (count !== 2) assert.ok(count === 1 && rim(a) && rim(b), key);
  }
});

test("the drawn ground is nowhere above the true one, and nowhere far below it", () => {
  const heights = hill();
  const { points, triangles, uv } = drawnGround(data, heights);
  assert.ok(triangles.length / 3 < 2 * (rows - 1) * (columns - 1));
  assert.equal(uv.length / 2, points.length / 3);
  const corner = (k: number): [number, number, number] => [points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!];
  let least = Infinity;
  for (let k = 0; k < triangles.length; k += 3) {
    const [a, b, c] = [corner(triangles[k]!), corner(triangles[k + 1]!), corner(triangles[k + 2]!)];
    assert.ok(area(a, b, c) > 0);
    for (const [p, q] of [[0.2, 0.3], [0.6, 0.1], [0.1, 0.85], [1 / 3, 1 / 3]] as const) {
      const mix = (n: 0 | 1 | 2): number => p * a[n] + q * b[n] + (1 - p - q) * c[n];
      const [x, y, z] = [mix(0), mix(1), mix(2)];
      const below = trueHeight(heights, (x - west) / step, (y - south) / step) - z;
      least = Math.min(least, below);
      assert.ok(below > -1e-4, `${below} above at ${x}, ${y}`);
      assert.ok(below < 2 * allowedAt(Math.hypot(x, y)) + 1e-2, `${below} below at ${x}, ${y}`);
    }
  }
  assert.ok(least < 0.02);
});

/** Area that triangles cover, in cells; each must be counter-clockwise. */
function covered(found: Uint32Array, across: number): number {
  let sum = 0;
  for (let k = 0; k < found.length; k += 3) {
    const place = (n: number): number[] => [found[k + n]! % across, Math.floor(found[k + n]! / across)];
    const size = area(place(0), place(1), place(2));
    assert.ok(size > 0);
    sum += size;
  }
  return sum;
}
