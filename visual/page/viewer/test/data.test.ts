import assert from "node:assert/strict";
import { test } from "node:test";
import { floats, type Packed, unpack } from "../src/packed.ts";

const packed = (as: Packed["as"], numbers: ArrayBufferView, more: Partial<Packed> = {}): Packed => {
  const bytes = new Uint8Array(numbers.buffer);
  return { as, shape: [numbers.byteLength], data: btoa(String.fromCharCode(...bytes)), ...more };
};

test("floats and whole numbers come back as they were", () => {
  assert.deepEqual([...unpack(packed("f4", Float32Array.of(1.5, -2, NaN)))], [1.5, -2, NaN]);
  assert.deepEqual([...unpack(packed("u2", Uint16Array.of(0, 65534)))], [0, 65534]);
  assert.deepEqual([...floats(packed("u4", Uint32Array.of(70000)))], [70000]);
});

test("coarse numbers are spread over their range, axis by axis, and keep their gaps", () => {
  const whole = Uint16Array.of(0, 65534, 65535, 100);
  const found = floats(packed("q2", whole, { from: [10, -5], step: [0.5, 0.25] }));
  assert.deepEqual([...found], [10, -5 + 0.25 * 65534, NaN, 20]);
});
