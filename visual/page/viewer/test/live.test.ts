import assert from "node:assert/strict";
import { test } from "node:test";
import { Refused, sentence } from "../src/live-api.ts";
import { fieldWord, groupWord, roundText, tableOf } from "../src/live-words.ts";

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
