import assert from "node:assert/strict";
import { test } from "node:test";
import { Vector3 } from "three";
import { Eye } from "../src/eye.ts";
import { Hands, wheelFactor } from "../src/hands.ts";
import type { Stage } from "../src/stage.ts";

type Turn = { deltaY: number; deltaMode?: number; ctrlKey?: boolean };

/** Hands on a drawing without a browser; returns how far away the eye is, as a share, after a turn. */
function turned(turn: Turn, ground: Vector3 | null = null): { share: number; eye: Eye; kept: boolean } {
  const ears = new Map<string, (event: unknown) => void>();
  const canvas = {
    addEventListener: (what: string, ear: (event: unknown) => void, options?: { passive: boolean }) => {
      // only then may the browser's own answer be held back
      if (what === "wheel") assert.equal(options?.passive, false);
      ears.set(what, ear);
    },
    setAttribute: () => undefined,
    getBoundingClientRect: () => ({ left: 0, top: 0 }),
  };
  const eye = new Eye(() => undefined);
  eye.apply(1);
  new Hands({ canvas, eye, width: 100, height: 100 } as unknown as Stage, () => ground);
  const before = eye.stand.distance;
  let kept = false;
  ears.get("wheel")?.({ deltaMode: 0, ctrlKey: false, clientX: 50, clientY: 50, preventDefault: () => (kept = true), ...turn });
  return { share: eye.stand.distance / before, eye, kept };
}

const near = (a: number, b: number): void => assert.ok(Math.abs(a - b) < 1e-9, `${a} is not ${b}`);

test("a wheel goes by steps, in pixels or in lines", () => {
  near(turned({ deltaY: 100 }).share, 1.15);
  near(turned({ deltaY: -3, deltaMode: 1 }).share, 1 / 1.15);
  near(turned({ deltaY: 9000 }).share, 1.15 ** 3);
});

test("a pinch on a trackpad follows the fingers, and the page keeps its size", () => {
  // fingers spread to twice their distance, in twenty parts
  const part = { deltaY: (-100 * Math.log(2)) / 20, deltaMode: 0, ctrlKey: true };
  near(wheelFactor(part) ** 20, 1 / 2);
  const { share, kept } = turned(part);
  near(share, wheelFactor(part));
  assert.ok(kept);
  assert.ok(share < turned({ ...part, ctrlKey: false }).share);
});

test("a wheel turned with Ctrl does not leap", () => {
  near(turned({ deltaY: 120, ctrlKey: true }).share, Math.exp(0.3));
  near(turned({ deltaY: -3, deltaMode: 1, ctrlKey: true }).share, Math.exp(-0.3));
});

test("the wheel comes nearer to the ground under the pointer", () => {
  const ground = new Vector3(10, 20, 3);
  const from = turned({ deltaY: 0 }).eye.stand.target;
  const { eye, share } = turned({ deltaY: -20, ctrlKey: true }, ground);
  near(eye.stand.target.distanceTo(ground), share * from.distanceTo(ground));
});
