import assert from "node:assert/strict";
import { test } from "node:test";
import { progressText } from "../src/live-find-form.ts";
import { awayText, bearingText, Grid, leftText, spotText, windWord, workingRole } from "../src/live-find-grid.ts";
import { bearingOnRing } from "../src/live-find-ring.ts";
import { bearingSaid, lookOf, nearest } from "../src/live-find-rose.ts";
import type { Found, Rose } from "../src/live-find-types.ts";
import { headline } from "../src/live-glance.ts";

const both = (text: string): { metric: string; imperial: string } => ({ metric: text, imperial: text });
const packed = (...bytes: number[]): string => btoa(String.fromCharCode(...bytes));

// two rows to the south, three columns to the east, 2 m apart
const FOUND = {
  number: 3,
  shape: [2, 3],
  first: [10, 20],
  down: [0, -2],
  right: [2, 0],
  share: packed(80, 10, 255, 255, 255, 55),
  bearing: packed(4, 0, 255, 255, 255, 71),
  reason: packed(0, 0, 1, 2, 255, 0),
  turn: 5,
  reasons: [
    { kind: "works", text: both("the lane is too steep") },
    { kind: "fails", text: both("a side wire goes tight") },
    { kind: "lost", text: both("setback of 22 m") },
  ],
} as unknown as Found;

test("a place of the ground is the nearest one that was looked at", () => {
  const grid = new Grid(FOUND);
  assert.deepEqual(grid.place(14, 18), [1, 2]);
  assert.deepEqual(grid.at(1, 2), [14, 18]);
  const spot = grid.spot(10.8, 19.4);
  assert.deepEqual([spot?.row, spot?.column, spot?.front, spot?.left], [0, 0, 20, 0.8]);
  assert.equal(spot && spotText(spot, "metric"), "Works, front to 20°: 80 % to spare. Tightest: the lane is too steep.");
  assert.equal(grid.spot(8, 20), null);
  assert.equal(grid.spot(12, 18), null, "not looked at");
});

test("what is looked at as a whole leaves out land that is lost, unless all of it is", () => {
  assert.deepEqual(new Grid(FOUND).extent(), [[0, 0], [1, 2]]);
  const lost = { bearing: packed(255, 255, 255, 255, 255, 255), reason: packed(2, 2, 1, 2, 2, 2) };
  assert.deepEqual(new Grid({ ...FOUND, ...lost }).extent(), [[0, 2], [0, 2]]);
  assert.deepEqual(new Grid({ ...FOUND, ...lost, reason: packed(2, 2, 2, 2, 2, 2) }).extent(), [[0, 0], [2, 3]]);
});

test("what does not work never looks as if it did", () => {
  const grid = new Grid(FOUND);
  assert.deepEqual([0, 1, 2].map((column) => grid.role(0, column)), ["search_75", "search_0", "search_fails"]);
  assert.deepEqual([0, 1, 2].map((column) => grid.role(1, column)), ["search_lost", null, "search_50"]);
  const fails = grid.spot(14, 20);
  assert.match(fails ? spotText(fails, "metric") : "", /^No bearing works here/);
  const odd = new Grid({ ...FOUND, bearing: packed(255, 255, 255, 255, 255, 255) });
  assert.equal(odd.role(0, 0), "search_fails", "a reason alone is no bearing");
});

test("bearings, shares, ways and times are said in words", () => {
  assert.equal(bearingText(359.99), "0°");
  assert.equal(bearingText(-45), "315°");
  assert.equal(leftText(0.29), "29 % to spare");
  assert.equal(leftText(null), "not known");
  assert.deepEqual([windWord(0, 5), windWord(-3, 3), windWord(-0.01, 5)], ["north", "north-west", "north"]);
  assert.deepEqual([awayText(106.4, "metric"), awayText(4, "metric"), awayText(30.48, "imperial")], ["106 m", "4.0 m", "100 ft"]);
  assert.deepEqual([0.76, 0.5, 0.26, 0.01].map(workingRole), ["search_75", "search_50", "search_25", "search_0"]);
  const progress = { doing: "searching", done: 5, total: 25, left: 12.4, note: "" };
  const said = (now: Partial<typeof progress> | { left: null }): string => progressText("Searching", { ...progress, ...now }, false);
  assert.equal(said({}), "Step 1 of 3, all the ground roughly: 5 of 25 parts, about 12 s left for this step …");
  assert.match(said({ left: 200 }), /about 3 min left for this step/);
  const checks = { doing: "checking the best places", done: 3, total: 8, left: null, note: "7 checked in full" };
  assert.equal(said(checks), "Step 3 of 3, the best places in full: 3 of 8 pass, 7 checked in full …");
  assert.match(progressText("Searching", { ...progress, doing: "preparing" }, true), /first time on a computer/);
  assert.equal(progressText("Searching", null, false), "Searching …");
});

const ROSE: Rose = {
  turn: 90,
  place: "",
  best: 0,
  bearings: [
    { works: true, left: 0.6, text: "the lane is too steep" },
    { works: false, left: -0.5, text: "a side wire goes tight" },
    { works: false, left: null, text: "ground not known" },
    { works: true, left: 0.1, text: "the pull is more than there is" },
  ],
  spans: [],
};

test("a rose says of each bearing whether it works, and of a lost place that none does", () => {
  assert.equal(nearest(-1, 5), 0);
  assert.equal(nearest(358, 5), 0);
  assert.match(bearingSaid(ROSE, 0), /^Front 0° works: 60 % to spare/);
  assert.equal(bearingSaid(ROSE, 90), "Front 90° does not work: a side wire goes tight");
  assert.match(bearingSaid(ROSE, 180), /not known/);
  assert.deepEqual(ROSE.bearings.map((one) => lookOf(ROSE, one).role), ["search_50", "search_fails", "search_lost", "search_0"]);
  const lost = { ...ROSE, place: "setback of the base" };
  assert.match(bearingSaid(lost, 0), /the place is lost whatever the bearing: setback of the base/);
  for (const one of lost.bearings) assert.equal(lookOf(lost, one).role, "search_lost");
});

test("at a glance: how many things stop it", () => {
  const counts = { stop: 0, "not checked": 3, caution: 1, ok: 9 };
  assert.equal(headline(counts), "Nothing stops it here");
  assert.equal(headline({ ...counts, stop: 1 }), "1 thing stops it here");
  assert.equal(headline({ ...counts, stop: 2 }), "2 things stop it here");
});

test("the ring on the ground tells which bearing lies at a place, and nothing beside it", () => {
  const ring = { rose: { turn: 5 } as Rose, roles: {}, inner: 10, outer: 20 };
  assert.equal(bearingOnRing(ring, 0, 15), 0);
  assert.equal(bearingOnRing(ring, 15, 0), 90);
  assert.equal(bearingOnRing(ring, -10.6, -10.6), 225);
  assert.equal(bearingOnRing(ring, -1, 15), 355);
  assert.equal(bearingOnRing(ring, 0, 9), null);
  assert.equal(bearingOnRing(ring, 21, 0), null);
});
