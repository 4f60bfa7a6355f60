/**
 * Where the scene is looked at from.
 *
 * The eye stands at a bearing and a height angle about a target. In a view from a person's place
 * it stands still instead and turns about itself.
 */

import { OrthographicCamera, PerspectiveCamera, Vector3 } from "three";
import { FLAT_OPENING, type Stand, STEEPEST } from "./stand.ts";

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

export function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}

/** Return an angle within half a turn of zero. [rad] */
export function shortest(angle: number): number {
  return Math.atan2(Math.sin(angle), Math.cos(angle));
}
