/** Where a picture is to be taken from: where the scene is looked at from now. */

import type { Viewer } from "./viewer.ts";

const WIDE = 1600; // pixels

export function cameraOf(viewer: Viewer): Record<string, unknown> {
  const { eye, width, height } = viewer.stage;
  const { target, fieldOfView, flat, distance } = eye.stand;
  return {
    eye: eye.position.toArray(),
    target: target.toArray(),
    up: [0, 0, 1],
    field_of_view: flat ? 0 : (fieldOfView * 180) / Math.PI,
    span: 2 * distance * Math.tan(fieldOfView / 2),
    angle: viewer.angle === "standing" ? null : viewer.angle,
    width: WIDE,
    height: Math.max(200, Math.round((WIDE * height) / width)),
  };
}
