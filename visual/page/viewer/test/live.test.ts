import assert from "node:assert/strict";
import { test } from "node:test";
import { Refused, sentence } from "../src/live-api.ts";
import { saying } from "../src/live-bar.ts";
import { oldParts } from "../src/live-old.ts";
import type { LiveData, State } from "../src/live-types.ts";
import { fieldWord, giveWord, groupWord, roundText, tableOf } from "../src/live-words.ts";

test("a key stands in its table", () => {
  assert.equal(tableOf("mast.section[2].wall"), "mast.section[2]");
  assert.equal(tableOf("tow.grip"), "tow");
});

test("keys and tables have words", () => {
  assert.equal(fieldWord("mast.section[2].outer_diameter"), "Outer diameter");
  assert.equal(fieldWord("mast.position[1]"), "Easting");
  assert.equal(fieldWord("limits.wire_angle[2]"), "Wire angle, most");
  assert.equal(groupWord("mast.collar[3]"), "Collar 3");
  assert.equal(groupWord("anchors.left"), "Left anchor");
  assert.equal(groupWord("wire.guy"), "Wire “guy”");
  assert.equal(groupWord("something_new"), "Something new");
});

test("lengths are round in the units that are shown", () => {
  assert.equal(roundText(11.4567, "metric"), "11.46 m");
  assert.equal(roundText(0.3048 * 12.5, "imperial"), "12 ft 6 in");
  assert.equal(roundText(0.3048 * 11.999, "imperial"), "12 ft 0 in");
});

test("a problem is one sentence with its way out", () => {
  const problem = { key: "tow.grip", value: "-1", rule: "the number must be at least 0", way_out: "write a number" };
  assert.equal(sentence(problem), "tow.grip = -1: the number must be at least 0; write a number.");
  assert.equal(sentence({ ...problem, key: "", value: "" }), "the number must be at least 0; write a number.");
});

test("a refusal always says something: an empty one would look like success", () => {
  assert.match(new Refused(500, {}).message, /could not answer/);
  assert.equal(new Refused(409, { error: "no" }).message, "no");
});

const state = (version: number, answered: number): State =>
  ({ version, busy: answered < version, answer: { version: answered, whole: true }, dirty: false, doing: "", took: 0 }) as unknown as State;
const scene = (version: number, judged: number): LiveData => ({ live: { version, judged } }) as unknown as LiveData;

test("what is of an earlier state is old until the new one is there", () => {
  assert.deepEqual(oldParts(4, state(4, 4), scene(4, 4)), { answer: false, rig: false, judged: false });
  // the edit was taken, but its state is not told yet
  assert.deepEqual(oldParts(5, state(4, 4), scene(4, 4)), { answer: true, rig: true, judged: true });
  assert.deepEqual(oldParts(5, state(5, 4), scene(5, 4)), { answer: true, rig: false, judged: true });
  // undone to a state that is known: the answer is there at once, the picture is not
  assert.deepEqual(oldParts(5, state(5, 5), scene(4, 4)), { answer: false, rig: true, judged: true });
});

test("saved is not said while something is being made", () => {
  assert.equal(saying(state(4, 4), ""), "saved");
  assert.equal(saying(state(4, 4), "page"), "making the page …");
  assert.equal(saying({ ...state(4, 4), dirty: true, doing: "drawing zones" }, ""), "not saved · drawing zones …");
});

test("the way to a missing value names its field in words", () => {
  assert.equal(giveWord("tow.shackle_load"), "Give it: Tow line and vehicle, shackle load");
  assert.equal(giveWord("anchors.capacity"), "Give it: Anchors, all four, capacity");
});
