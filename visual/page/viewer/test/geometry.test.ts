import assert from "node:assert/strict";
import { test } from "node:test";
import { Plane, Vector2, Vector3 } from "three";
import type { ViewData } from "../src/data.ts";
import { clamp, Eye, shortest } from "../src/eye.ts";
import { coveredShare, standOf } from "../src/stand.ts";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import { segments } from "../src/layers.ts";
import { dashedShader, Looks } from "../src/looks.ts";
import { mixed } from "../src/rig.ts";
import { Boxes, placeAnywhere, placeBeside } from "../src/spots.ts";

const near = (a: number, b: number): void => assert.ok(Math.abs(a - b) < 1e-9, `${a} is not ${b}`);

test("between two rows of a table lies the straight line, and on a row its own numbers", () => {
  const table = Float32Array.of(0, 0, 0, 2, 4, 8);
  assert.deepEqual(mixed(table, 3, 0.5), [1, 2, 4]);
  assert.deepEqual(mixed(table, 3, 1), [2, 4, 8]);
});

test("paths become pairs of ends, without what is not known", () => {
  const points = Float32Array.of(0, 0, 0, 1, 0, 0, 2, 0, 0, 9, 9, 9, NaN, 9, 9);
  assert.deepEqual([...segments(points, [3, 2])], [0, 0, 0, 1, 0, 0, 1, 0, 0, 2, 0, 0]);
});

test("angles are taken the short way round", () => {
  near(shortest((3 * Math.PI) / 2), -Math.PI / 2);
  assert.equal(clamp(5, 0, 3), 3);
});

test("a standing person turns about the eye, everybody else about the target", () => {
  const eye = new Eye(() => {});
  eye.stand.standing = true;
  const before = eye.position;
  eye.turn(0.4, 0.1);
  assert.ok(eye.position.distanceTo(before) < 1e-9);
  eye.stand.standing = false;
  const target = eye.stand.target.clone();
  eye.turn(0.4, 0.1);
  assert.ok(eye.stand.target.distanceTo(target) < 1e-12);
  assert.ok(eye.position.distanceTo(before) > 1);
});

test("a view from above has north up", () => {
  const eye = new Eye(() => {});
  const plan = {
    name: "plan", word: "", projection: "orthographic", eye: [0, 0, 90], target: [0, 0, 0],
    up: [0, 1, 0], span: [40, 30], fieldOfView: 30, rise: 0, eyeLevel: false, angle: null,
    shows: [], hushes: [], hides: [], fits: null,
  } as const;
  eye.stand = standOf({ ...plan, eye: [0, 0, 90], target: [0, 0, 0], up: [0, 1, 0], span: [40, 30], hides: [] }, 1);
  eye.apply(1);
  const north = eye.stand.target.clone().setY(5).project(eye.camera);
  assert.ok(north.y > 0.1);
  assert.ok(Math.abs(north.x) < 1e-6);
  near(2 * eye.stand.distance * Math.tan(eye.stand.fieldOfView / 2), 40);
});

test("texts never cover one another, and step aside with a line to their place", () => {
  const boxes = new Boxes(200, 100);
  const block = { lines: ["name"], size: 12, width: 40, height: 14 };
  const spots = Array.from({ length: 40 }, () => placeBeside(boxes, block, new Vector2(100, 50)));
  const found = spots.filter((one) => one !== null);
  assert.ok(found.length >= 5 && found.length < 40);
  assert.ok(found.some((one) => one.leader));
  for (const [k, a] of found.entries()) {
    for (const b of found.slice(k + 1)) {
      const apart = Math.abs(a.middle.x - b.middle.x) >= 40 || Math.abs(a.middle.y - b.middle.y) >= 14;
      assert.ok(apart);
    }
  }
});

test("the shader of a line leaves out every gap of a pattern", () => {
  const shader = dashedShader(new LineMaterial().fragmentShader, [5, 1.2, 0.8, 1.2]);
  assert.match(shader, /mod\( vLineDistance, 8\.200 \)/);
  assert.match(shader, /at > 5\.000 && at < 6\.200/);
  assert.match(shader, /at > 7\.000 && at < 8\.200/);
  assert.throws(() => dashedShader("void main() {}", [1, 1]), /cannot be dashed/);
});

test("looks suit roles that are the same by value, whatever object they come in", () => {
  const roles = { wall: { color: "#123456", opacity: 1, width: 0.3, casing: 0, dash: [3, 1], lit: true, word: "", swatch: "" } };
  const looks = new Looks(roles, new Plane());
  assert.ok(looks.suit(structuredClone(roles)));
  assert.ok(!looks.suit({ wall: { ...roles.wall, dash: [3, 2] } }));
  assert.ok(!looks.suit({}));
});

test("what a view shows is clear of what lies over the picture", () => {
  const view = {
    name: "overview", word: "", projection: "perspective", eye: [60, -60, 40], target: [0, 0, 5], up: [0, 0, 1],
    span: [1, 1], fieldOfView: 28, rise: 0, eyeLevel: false, angle: null, shows: [], hushes: [], hides: [],
    fits: [[0, 0, 20], [20, 0, 0], [-20, 0, 0], [0, 20, 0], [0, -20, 0]],
  } as unknown as ViewData;
  const covered = coveredShare({ top: 150, bottom: 50 }, 500);
  assert.deepEqual(covered, { top: 0.3, bottom: 0.1 });
  for (const aspect of [0.8, 1.8]) {
    for (const one of [view, { ...view, projection: "orthographic", span: [40, 40] } as ViewData]) {
      const eye = new Eye(() => {});
      eye.stand = standOf(one, aspect, covered);
      eye.apply(aspect);
      const high = (view.fits ?? []).map((point) => new Vector3(...point).project(eye.camera).y);
      if (one === view) assert.ok(Math.max(...high) <= 1 - 2 * 0.3 && Math.min(...high) >= 2 * 0.1 - 1);
      const middle = new Vector3(0, 0, 5).project(eye.camera).y;
      assert.ok(Math.abs(middle - (0.1 - 0.3)) < 0.25, "in the middle of what is free");
    }
  }
  const more = coveredShare({ top: 400, bottom: 100 }, 500);
  near(more.top + more.bottom, 0.5);
});

test("what must be said finds a place farther off, clear of a line", () => {
  const boxes = new Boxes(390, 400);
  boxes.takeLine(new Vector2(20, 200), new Vector2(380, 200), 7);
  for (let y = 130; y < 270; y += 14) boxes.take({ x: 0, y, width: 390, height: 13 });
  const block = { lines: ["a", "b"], size: 12, width: 180, height: 30 };
  assert.equal(placeBeside(boxes, block, new Vector2(60, 200)), null);
  const spot = placeAnywhere(boxes, block, new Vector2(60, 200));
  assert.ok(spot?.leader && spot.middle.x - 90 >= 0 && Math.abs(spot.middle.y - 200) > 60);
});
