import assert from "node:assert/strict";
import { test } from "node:test";
import { Vector3 } from "three";
import { isOf, isThere } from "../src/approaches.ts";
import type { Approach, Finding } from "../src/data.ts";
import type { Packed } from "../src/packed.ts";
import { arrowOf, type Force, forcesAt, saying } from "../src/forces.ts";

const packed = (as: Packed["as"], numbers: ArrayBufferView, shape: number[]): Packed => {
  const bytes = new Uint8Array(numbers.buffer);
  return { as, shape, data: btoa(String.fromCharCode(...bytes)) };
};

const pole = {
  key: "gin pole",
  names: ["gin pole pulls", "gin pole pushes"],
  nameAt: packed("u2", Uint16Array.of(1, 1, 0), [3]),
  pushes: false,
  inside: true,
  table: packed("f4", Float32Array.of(0, 0, 5, 0, 0, 300, 1, 0, 5, 0, 0, 100, 2, 0, 5, 0, 0, -200), [3, 6]),
};
const run = { key: "loaded" as const, word: "with the head", forces: [pole] };
const force = (key: string, size: number, pushes = false): Force => ({
  key, name: key, inside: false, pushes, at: new Vector3(1, 2, 3), vector: new Vector3(0, 0, size),
});

test("a force between two rows lies on the straight line, and keeps its key though its name changes", () => {
  const [first] = forcesAt(run, 0.25);
  assert.deepEqual(first?.at.toArray(), [0.25, 0, 5]);
  assert.deepEqual(first?.vector.toArray(), [0, 0, 250]);
  assert.equal(first?.name, "gin pole pushes");
  const [last] = forcesAt(run, 2);
  assert.equal(last?.name, "gin pole pulls");
  assert.equal(last?.key, first?.key);
});

test("an arrow is as long as its force is large, and ends where the force acts if it pushes", () => {
  const pulling = arrowOf(force("tow line", 500), 250);
  assert.deepEqual(pulling.start.toArray(), [1, 2, 3]);
  assert.deepEqual(pulling.end.toArray(), [1, 2, 5]);
  const pushing = arrowOf(force("hinge", 500, true), 250);
  assert.deepEqual(pushing.start.toArray(), [1, 2, 1]);
  assert.deepEqual(pushing.end.toArray(), [1, 2, 3]);
});

test("what has no arrow is named: too small, without force, not known", () => {
  const now = [force("weight", 4000), force("lift wire", 40), force("back wire", 0.2), force("tow line", NaN)];
  const words = (one: Force): string => `${one.name}: ${one.vector.length()} N`;
  const lines = saying(now, 1, [now[1] as Force], words, new Set(["weight: 4000 N"]));
  assert.deepEqual(lines, [
    "too small for an arrow: lift wire: 40 N",
    "without force: back wire",
    "not known: tow line",
  ]);
  assert.deepEqual(saying([force("weight", 4000)], 1, [], words, new Set(["weight: 4000 N"])), []);
  // an arrow whose value found no room beside it
  assert.deepEqual(saying([force("weight", 4000)], 1, [], words, new Set()), ["weight: 4000 N"]);
});

const both = { metric: "1.12 m", imperial: "3 ft 8 in" };
const near: Approach = {
  subject: "mast to oak", raises: ["loaded"], angle: 20, ends: [[0, 0, 5], [1, 0, 5]], reach: null,
  role: "worst", worst: false, far: false, length: both, text: both,
};
const finding: Finding = {
  check: "clearance", subject: "mast to oak", status: "stop", value: both, limit: both, margin: both,
  angle: 20, where: [0, 0, 5], gap: [[0, 0, 5], [1, 0, 5]], message: both, basis: "",
};
const now = { angle: 20.2, bare: false, on: true, worst: false, marked: null };

test("an approach is shown at its own angle, on its own raise, if its layer is on", () => {
  assert.equal(isThere(near, now), true);
  assert.equal(isThere(near, { ...now, angle: 20.5 }), false);
  assert.equal(isThere(near, { ...now, angle: "standing" }), false);
  assert.equal(isThere(near, { ...now, bare: true }), false);
  assert.equal(isThere({ ...near, raises: ["loaded", "bare"] }, { ...now, bare: true }), true);
  assert.equal(isThere(near, { ...now, on: false }), false);
  assert.equal(isThere({ ...near, far: true }, now), false);
});

test("an approach is shown for its finding at any angle, and not for another of the same name", () => {
  const hidden = { ...now, angle: 70, on: false };
  assert.equal(isThere(near, { ...hidden, marked: finding }), true);
  assert.equal(isThere({ ...near, far: true }, { ...hidden, marked: finding }), true);
  const other = { ...finding, gap: [[9, 0, 5], [8, 0, 5]] as Finding["gap"] };
  assert.equal(isOf(near, other), false);
  assert.equal(isThere(near, { ...hidden, marked: other }), false);
  assert.equal(isThere({ ...near, worst: true }, { ...hidden, worst: true }), true);
});
