import assert from "node:assert/strict";
import { test } from "node:test";
import { angleText, forceText, lengthText, quantityText, roundLength } from "../src/units.ts";

test("metric lengths have two decimals and no negative zero", () => {
  assert.equal(lengthText(17.4, "metric"), "17.40 m");
  assert.equal(lengthText(-0.001, "metric"), "0.00 m");
  assert.equal(lengthText(NaN, "metric"), "unknown");
});

test("imperial lengths are in feet, inches and sixteenths", () => {
  assert.equal(lengthText(17.4, "imperial"), "57 ft 1 1/16 in");
  assert.equal(lengthText(0.3048, "imperial"), "1 ft 0 in");
  assert.equal(lengthText(-0.0254 / 2, "imperial"), "-1/2 in");
  assert.equal(lengthText(0.0254 * 11.9999, "imperial"), "1 ft 0 in");
});

test("forces change to kilonewtons before they read 1000 N", () => {
  assert.equal(forceText(999.4, "metric"), "999 N");
  assert.equal(forceText(999.6, "metric"), "1.00 kN");
  assert.equal(forceText(2958, "imperial"), "665 lbf");
});

test("other quantities", () => {
  assert.equal(quantityText(355e6, "Pa", "metric"), "355.0 MPa");
  assert.equal(quantityText(355e6, "Pa", "imperial"), "51.5 ksi");
  assert.equal(quantityText(12.34, "deg", "metric"), "12.3°");
  assert.equal(quantityText(1.5, "", "metric"), "1.50");
  assert.equal(angleText(-0.04), "0.0°");
});

test("a scale bar is a round length no longer than asked for", () => {
  assert.deepEqual(roundLength(47, "metric"), { metres: 20, text: "20 m" });
  assert.deepEqual(roundLength(60, "metric"), { metres: 50, text: "50 m" });
  assert.equal(roundLength(47, "imperial").text, "100 ft");
});
