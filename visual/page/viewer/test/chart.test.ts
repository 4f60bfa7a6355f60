import assert from "node:assert/strict";
import test from "node:test";
import { roundForce, roundForceText } from "../src/chart-scale.ts";
import { asString } from "../src/paper-margins.ts";

test("a scale goes in round forces of the reader's units", () => {
  assert.equal(roundForceText(roundForce(4800, "metric"), "metric"), "2 kN");
  assert.equal(roundForceText(roundForce(960, "metric"), "metric"), "0.5 kN");
  assert.equal(roundForceText(roundForce(2800, "imperial"), "imperial"), "500 lbf");
});

test("a title in the margin of the paper cannot end its string", () => {
  assert.equal(asString("Larkrise, top field"), '"Larkrise, top field"');
  const hostile = asString('"; } </style><script> \\ \n*/ é 😀');
  assert.match(hostile.slice(1, -1), /^(?:[A-Za-z0-9 ,.-]|\\[0-9a-f]+ )*$/);
});
