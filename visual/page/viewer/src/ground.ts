/** The ground: a grid of heights, drawn with its baked shading, and asked for its height. */

import {
  BufferAttribute,
  BufferGeometry,
  LinearFilter,
  LinearMipmapLinearFilter,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  NoColorSpace,
  Texture,
  Vector3,
} from "three";
import type { GroundData } from "./layer-data.ts";
import { floats } from "./packed.ts";
import { fewTriangles } from "./relief.ts";

export class Ground {
  readonly mesh: Mesh<BufferGeometry, MeshBasicMaterial | MeshLambertMaterial>;
  readonly data: GroundData;
  readonly ready: Promise<void>;
  private readonly heights: Float32Array;
  private readonly baked: MeshBasicMaterial;
  private readonly open: MeshLambertMaterial;

  constructor(data: GroundData) {
    this.data = data;
    this.heights = floats(data.heights);
    const texture = new Texture();
    texture.colorSpace = NoColorSpace;
    texture.minFilter = LinearMipmapLinearFilter;
    texture.magFilter = LinearFilter;
    texture.anisotropy = 8;
    const behind = { polygonOffset: true, polygonOffsetFactor: 1.5, polygonOffsetUnits: 6 };
    this.baked = new MeshBasicMaterial({ map: texture, ...behind });
    this.open = new MeshLambertMaterial({ color: 0xf1ead9, ...behind });
    this.mesh = new Mesh(this.shape(), this.baked);
    this.mesh.receiveShadow = true;
    this.ready = loadPicture(data.picture).then((image) => {
      texture.image = image;
      texture.needsUpdate = true;
    });
  }

  /** Show the baked shading, or a plain ground for the sun to light. */
  lightBySun(sun: boolean): void {
    if (sun && !this.mesh.geometry.getAttribute("normal")) this.mesh.geometry.computeVertexNormals();
    this.mesh.material = sun ? this.open : this.baked;
  }

  get materials(): (MeshBasicMaterial | MeshLambertMaterial)[] {
    return [this.baked, this.open];
  }

  /** Height at a place, on the drawn triangles; NaN where it is not known. [m] */
  height(x: number, y: number): number {
    const { west, south, step, rows, columns } = this.data;
    const u = (x - west) / step;
    const v = (y - south) / step;
    if (u < 0 || v < 0 || u > columns - 1 || v > rows - 1) return NaN;
    const i = Math.min(Math.floor(u), columns - 2);
    const j = Math.min(Math.floor(v), rows - 2);
    const at = (r: number, c: number): number => this.heights[r * columns + c] as number;
    const [a, b, low, high] = [u - i, v - j, at(j, i), at(j + 1, i + 1)];
    if (a >= b) return low + a * (at(j, i + 1) - low) + b * (high - at(j, i + 1));
    return low + b * (at(j + 1, i) - low) + a * (high - at(j + 1, i));
  }

  /** Where a ray from an eye first meets the ground, or null. */
  hit(eye: Vector3, way: Vector3, farthest = 3000): Vector3 | null {
    const place = eye.clone();
    let above = this.clear(place);
    let stride = 0.5;
    for (let s = stride; s < farthest; s += stride) {
      place.copy(eye).addScaledVector(way, s);
      const now = this.clear(place);
      if (above > 0 && now <= 0) return this.between(eye, way, s - stride, s);
      above = now;
      stride = Number.isFinite(now) ? Math.max(0.25, Math.min(0.5 * Math.abs(now), 25)) : 2;
    }
    return null;
  }

  /** True if the ground hides a place from an eye. */
  hides(eye: Vector3, place: Vector3): boolean {
    const away = place.distanceTo(eye);
    if (away < 1) return false;
    const way = place.clone().sub(eye).divideScalar(away);
    const met = this.hit(eye, way, away);
    return met !== null && met.distanceTo(eye) < away - Math.max(0.6, 0.01 * away);
  }

  dispose(): void {
    this.mesh.geometry.dispose();
    this.baked.map?.dispose();
    this.baked.dispose();
    this.open.dispose();
  }

  private clear(place: Vector3): number {
    return place.z - this.height(place.x, place.y);
  }

  private between(eye: Vector3, way: Vector3, from: number, to: number): Vector3 {
    const place = new Vector3();
    for (let i = 0; i < 24; i++) {
      const middle = (from + to) / 2;
      place.copy(eye).addScaledVector(way, middle);
      if (this.clear(place) > 0) from = middle;
      else to = middle;
    }
    return place;
  }

  private shape(): BufferGeometry {
    const geometry = new BufferGeometry();
    const drawn = drawnGround(this.data, this.heights);
    geometry.setAttribute("position", new BufferAttribute(drawn.points, 3));
    geometry.setAttribute("uv", new BufferAttribute(drawn.uv, 2));
    geometry.setIndex(new BufferAttribute(drawn.triangles, 1));
    geometry.computeBoundingSphere();
    return geometry;
  }
}

/** How far the drawn ground may lie off the true one, at a distance from the base. [m] */
export function allowedAt(distance: number): number {
  return 0.01 + 0.0004 * distance;
}

/**
 * The ground as it is drawn: few triangles, and nowhere above the true ground, so that what lies
 * on that is not hidden.
 */
export function drawnGround(
  data: GroundData,
  heights: Float32Array,
): { points: Float32Array; uv: Float32Array; triangles: Uint32Array } {
  const { west, south, step, rows, columns } = data;
  const away = (row: number, column: number, size: number): number => {
    const off = (low: number, k: number): number => Math.max(low + k * step, -(low + (k + size) * step), 0);
    return Math.hypot(off(west, column), off(south, row));
  };
  const every = fewTriangles({ heights, rows, columns }, (r, c, size) => allowedAt(away(r, c, size)));
  const places = new Map<number, number>();
  const triangles = every.map((k) => {
    const known = places.get(k);
    if (known === undefined) places.set(k, places.size);
    return known ?? places.size - 1;
  });
  const points = new Float32Array(3 * places.size);
  const uv = new Float32Array(2 * places.size);
  for (const [k, n] of places) {
    const [r, c] = [Math.floor(k / columns), k % columns];
    const [x, y] = [west + c * step, south + r * step];
    points.set([x, y, (heights[k] as number) - allowedAt(Math.hypot(x, y))], 3 * n);
    uv.set([c / (columns - 1), r / (rows - 1)], 2 * n);
  }
  return { points, uv, triangles };
}

function loadPicture(source: string): Promise<HTMLImageElement> {
  return new Promise((done, failed) => {
    const image = new Image();
    image.onload = () => done(image);
    image.onerror = () => failed(new Error("the shading of the ground cannot be read"));
    image.src = source;
  });
}
