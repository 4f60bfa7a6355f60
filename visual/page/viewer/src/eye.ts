/**
 * Where the scene is looked at from.
 *
 * The eye stands at a bearing and a height angle about a target. In a view from a person's place
 * it stands still instead and turns about itself.
 */

import { OrthographicCamera, PerspectiveCamera, Vector3 } from "three";
import type { Triple, ViewData } from "./data.ts";

export interface Stand {
  target: Vector3;
  /** Direction from target to eye: clockwise from north. [rad] */
  bearing: number;
  /** The same, above the level. [rad] */
  height: number;
  distance: number;
  /** Vertical angle of view. [rad] */
  fieldOfView: number;
  flat: boolean;
  /** The picture is moved up by this share of half its height. */
  rise: number;
  /** True if the eye stays where it is and turns. */
  standing: boolean;
}

const STEEPEST = Math.PI / 2 - 1e-4;
const FLAT_OPENING = (28 * Math.PI) / 180;

export class Eye {
  stand: Stand = {
    target: new Vector3(),
    bearing: Math.PI,
    height: 0.5,
    distance: 100,
    fieldOfView: FLAT_OPENING,
    flat: false,
    rise: 0,
    standing: false,
  };
  camera: PerspectiveCamera | OrthographicCamera;
  /** Told of every move by hand: true if the line of sight turned. */
  onMove: (turned: boolean) => void = () => {};
  private readonly changed: () => void;
  private readonly perspective = new PerspectiveCamera();
  private readonly orthographic = new OrthographicCamera();
  private flight = 0;

  constructor(changed: () => void) {
    this.changed = changed;
    this.camera = this.perspective;
  }

  /** Unit vector from target to eye. */
  get back(): Vector3 {
    const { bearing, height } = this.stand;
    return new Vector3(
      Math.sin(bearing) * Math.cos(height),
      Math.cos(bearing) * Math.cos(height),
      Math.sin(height),
    );
  }

  get position(): Vector3 {
    return this.stand.target.clone().addScaledVector(this.back, this.stand.distance);
  }

  /** Metres that one pixel covers at the target. */
  perPixel(height: number): number {
    return (2 * this.stand.distance * Math.tan(this.stand.fieldOfView / 2)) / height;
  }

  /** Go on from where a change of one's own began; any flight ends. */
  move(change: (stand: Stand) => void, turned = false): void {
    this.flight++;
    this.onMove(turned);
    change(this.stand);
    this.tidy();
    this.changed();
  }

  /** Turn by angles [rad]: about the target, or about the eye of a standing person. */
  turn(bearing: number, height: number): void {
    this.move((stand) => {
      const place = this.position;
      stand.bearing += bearing;
      stand.height = clamp(stand.height + height, -0.5, STEEPEST);
      if (stand.standing) stand.target.copy(place).addScaledVector(this.back, -stand.distance);
    }, true);
  }

  /**
   * Move along and across the picture, in pixels of a picture this high. A standing person stays
   * where they are and looks that way.
   */
  pan(right: number, up: number, pictureHeight: number): void {
    const { standing, fieldOfView } = this.stand;
    const angle = fieldOfView / pictureHeight;
    if (standing) this.turn(right * angle, -up * angle);
    else this.move((stand) => {
      const scale = this.perPixel(pictureHeight);
      const across = new Vector3(-Math.cos(stand.bearing), Math.sin(stand.bearing), 0);
      const upward = new Vector3().crossVectors(this.back, across);
      stand.target.addScaledVector(across, right * scale).addScaledVector(upward, up * scale);
    });
  }

  /** Come nearer (factor below 1) or go away, towards a place if one is given. */
  zoom(factor: number, towards?: Vector3): void {
    this.move((stand) => {
      if (stand.standing) {
        stand.fieldOfView = clamp(stand.fieldOfView * factor, 0.02, 1.6);
        return;
      }
      const before = stand.distance;
      stand.distance = clamp(before * factor, 1.5, 4000);
      if (towards) stand.target.lerp(towards, 1 - stand.distance / before);
    });
  }

  /** Put the camera where the stand says. */
  apply(aspect: number): void {
    const { target, distance, fieldOfView, flat, rise } = this.stand;
    const camera = flat ? this.orthographic : this.perspective;
    camera.up.set(0, 0, 1);
    camera.position.copy(this.position);
    camera.lookAt(target);
    const half = Math.tan(fieldOfView / 2);
    if (camera instanceof PerspectiveCamera) {
      camera.near = clamp(distance / 60, 0.15, 5);
      camera.far = distance + 3000;
      const top = camera.near * half * (1 + rise);
      const low = camera.near * half * (rise - 1);
      const wide = camera.near * half * aspect;
      camera.projectionMatrix.makePerspective(-wide, wide, top, low, camera.near, camera.far);
      camera.projectionMatrixInverse.copy(camera.projectionMatrix).invert();
    } else {
      camera.near = -1500;
      camera.far = distance + 1500;
      camera.top = distance * half;
      camera.bottom = -camera.top;
      camera.right = camera.top * aspect;
      camera.left = -camera.right;
      camera.updateProjectionMatrix();
    }
    camera.updateMatrixWorld();
    this.camera = camera;
  }

  /** Return where a view stands, so that what it shows fits into a picture of this shape. */
  standOf(view: ViewData, aspect: number): Stand {
    const target = new Vector3(...view.target);
    const back = new Vector3(...view.eye).sub(target);
    const distance = back.length();
    const level = Math.hypot(back.x, back.y);
    const down = level < 1e-6 * distance;
    const stand: Stand = {
      target,
      bearing: down ? Math.PI : Math.atan2(back.x, back.y),
      height: down ? STEEPEST : Math.atan2(back.z, level),
      distance,
      fieldOfView: (view.fieldOfView * Math.PI) / 180,
      flat: view.projection === "orthographic",
      rise: view.rise,
      standing: view.eyeLevel,
    };
    if (stand.flat) return fitted(stand, view.span, aspect);
    return view.fits ? filled(stand, view.fits, aspect) : narrowed(stand, aspect);
  }

  /** Go to a stand; at once where motion is not wanted. */
  fly(goal: Stand, seconds: number, arrived?: () => void): void {
    const flight = ++this.flight;
    const from = { ...this.stand, target: this.stand.target.clone() };
    const turn = shortest(goal.bearing - from.bearing);
    const began = performance.now();
    const step = (now: number): void => {
      if (flight !== this.flight) return;
      const t = seconds > 0 ? clamp((now - began) / 1000 / seconds, 0, 1) : 1;
      const share = t * t * (3 - 2 * t);
      const mix = (a: number, b: number): number => a + (b - a) * share;
      this.stand = {
        target: from.target.clone().lerp(goal.target, share),
        bearing: from.bearing + turn * share,
        height: mix(from.height, goal.height),
        distance: Math.exp(mix(Math.log(from.distance), Math.log(goal.distance))),
        fieldOfView: mix(from.fieldOfView, goal.fieldOfView),
        rise: mix(from.rise, goal.rise),
        flat: t < 1 ? from.flat && goal.flat : goal.flat,
        standing: goal.standing,
      };
      this.changed();
      if (t < 1) requestAnimationFrame(step);
      else arrived?.();
    };
    step(began);
  }

  private tidy(): void {
    this.stand.bearing = shortest(this.stand.bearing);
  }
}

/** Return a flat stand that shows a width and a height. [m] */
function fitted(stand: Stand, span: [number, number], aspect: number): Stand {
  const high = Math.max(span[1], span[0] / aspect);
  return { ...stand, fieldOfView: FLAT_OPENING, distance: high / 2 / Math.tan(FLAT_OPENING / 2) };
}

/** Return a stand with the same line of sight from which points just fill the picture. */
function filled(stand: Stand, points: Triple[], aspect: number): Stand {
  const { bearing, height } = stand;
  const right = new Vector3(-Math.cos(bearing), Math.sin(bearing), 0);
  const level = new Vector3(Math.sin(bearing), Math.cos(bearing), 0);
  const back = level.clone().multiplyScalar(Math.cos(height)).setZ(Math.sin(height));
  const up = new Vector3().crossVectors(back, right);
  const half = Math.tan(stand.fieldOfView / 2) * 0.9;
  const [x, fromX] = tightest(points, right, back, half * aspect);
  const [y, fromY] = tightest(points, up, back, half);
  const away = Math.max(fromX, fromY);
  const near = points.map((one) => new Vector3(...one).dot(back)).sort((a, b) => a - b);
  const distance = Math.max(1, away - (near[near.length >> 1] ?? 0));
  const target = new Vector3()
    .addScaledVector(right, x)
    .addScaledVector(up, y)
    .addScaledVector(back, away - distance);
  return { ...stand, target, distance };
}

/** Where the eye stands along an axis, and how far back, so that all points just fit. */
function tightest(points: Triple[], side: Vector3, back: Vector3, half: number): [number, number] {
  let [high, low] = [-Infinity, Infinity];
  for (const one of points) {
    const point = new Vector3(...one);
    const [a, b] = [point.dot(side), point.dot(back)];
    high = Math.max(high, a + half * b);
    low = Math.min(low, a - half * b);
  }
  return [(high + low) / 2, (high - low) / 2 / half];
}

/** Step back, or open the view of a standing person, where the picture is narrower than planned. */
function narrowed(stand: Stand, aspect: number): Stand {
  const planned = 1.385;
  if (aspect >= planned) return stand;
  const wider = planned / aspect;
  if (!stand.standing) return { ...stand, distance: stand.distance * wider };
  const half = Math.min(Math.tan(stand.fieldOfView / 2) * wider, 1.2);
  return { ...stand, fieldOfView: 2 * Math.atan(half) };
}

export function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}

/** Return an angle within half a turn of zero. [rad] */
export function shortest(angle: number): number {
  return Math.atan2(Math.sin(angle), Math.cos(angle));
}
