import assert from "node:assert/strict";
import { test } from "node:test";
import { Plane, Vector2 } from "three";
import { clamp, Eye, shortest } from "../src/eye.ts";
import { coveredShare, standOf } from "../src/stand.ts";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import { dashedShader, Looks, segments } from "../src/layers.ts";
import { mixed } from "../src/rig.ts";
import { Boxes, placeBeside } from "../src/spots.ts";

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
