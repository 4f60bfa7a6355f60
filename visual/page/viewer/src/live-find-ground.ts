/** The colours of a search on the ground: works, no bearing works, lost; each with its own pattern. */

import {
  BufferAttribute,
  BufferGeometry,
  CanvasTexture,
  LinearFilter,
  LinearMipmapLinearFilter,
  Mesh,
  MeshBasicMaterial,
  NoColorSpace,
} from "three";
import type { Role } from "./layer-data.ts";
import type { Grid } from "./live-find-grid.ts";
import type { Viewer } from "./viewer.ts";

const LARGEST = 2048; // pixels along the side of the picture that is laid over the ground
const FINEST = 8; // pixels of a place
const PERIOD = 12; // pixels from one line or dot of a pattern to the next

export class FoundGround {
  private readonly viewer: Viewer;
  private mesh: Mesh<BufferGeometry, MeshBasicMaterial> | null = null;

  constructor(viewer: Viewer) {
    this.viewer = viewer;
  }

  /** Lay a search over the ground; `offset` is where the ground lies in the frame of the grid. */
  show(grid: Grid | null, offset: readonly [number, number, number]): void {
    this.clear();
    if (grid) {
      const { stage, ground } = this.viewer;
      const material = new MeshBasicMaterial({ map: picture(grid), transparent: true, depthWrite: false });
      material.clippingPlanes = [stage.cut];
      this.mesh = new Mesh(draped(ground.mesh.geometry, grid, offset), material);
      this.mesh.renderOrder = 5; // under zones and lines
      this.follow();
      stage.scene.add(this.mesh);
    }
    this.viewer.stage.ask();
  }

  /** Lie where the ground lies. */
  follow(): void {
    this.mesh?.position.copy(this.viewer.ground.mesh.position);
  }

  private clear(): void {
    if (!this.mesh) return;
    this.mesh.removeFromParent();
    this.mesh.geometry.dispose();
    this.mesh.material.map?.dispose();
    this.mesh.material.dispose();
    this.mesh = null;
  }
}

/** The triangles of the ground, with the place of each corner on the picture. */
function draped(ground: BufferGeometry, grid: Grid, offset: readonly [number, number, number]): BufferGeometry {
  const position = ground.getAttribute("position");
  const uv = new Float32Array(2 * position.count);
  for (let k = 0; k < position.count; k++) {
    const [row, column] = grid.place(position.getX(k) + offset[0], position.getY(k) + offset[1]);
    uv.set([(column + 1.5) / (grid.columns + 2), 1 - (row + 1.5) / (grid.rows + 2)], 2 * k);
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", position.clone());
  geometry.setAttribute("uv", new BufferAttribute(uv, 2));
  geometry.setIndex(ground.getIndex()?.clone() ?? null);
  return geometry;
}

/** A picture with a clear rim: what lies outside of it shows nothing. */
function picture(grid: Grid): CanvasTexture {
  const [rows, columns] = [grid.rows + 2, grid.columns + 2];
  const size = Math.max(1, Math.min(FINEST, Math.floor(LARGEST / Math.max(rows, columns))));
  const sheet = document.createElement("canvas");
  [sheet.width, sheet.height] = [columns * size, rows * size];
  const ink = sheet.getContext("2d");
  if (ink) {
    const image = ink.createImageData(sheet.width, sheet.height);
    paint(image, grid, size);
    ink.putImageData(image, 0, 0);
  }
  const texture = new CanvasTexture(sheet);
  texture.colorSpace = NoColorSpace;
  texture.minFilter = LinearMipmapLinearFilter;
  texture.magFilter = LinearFilter;
  texture.anisotropy = 8;
  return texture;
}

function paint(image: ImageData, grid: Grid, size: number): void {
  const looks = new Map(Object.entries(grid.found.roles).map(([key, role]) => [key, colourOf(role)]));
  for (let row = 0; row < grid.rows; row++) {
    for (let column = 0; column < grid.columns; column++) {
      const role = grid.role(row, column);
      const look = role && looks.get(role);
      if (!look) continue;
      for (let j = 0; j < size; j++) {
        for (let i = 0; i < size; i++) {
          const [x, y] = [(column + 1) * size + i, (row + 1) * size + j];
          const [red, green, blue, opacity] = look;
          image.data.set([red, green, blue, 255 * patterned(role, x, y, opacity)], 4 * (y * image.width + x));
        }
      }
    }
  }
}

/** How much a pixel covers: lost land is hatched, land where no bearing works is dotted. */
function patterned(role: string, x: number, y: number, opacity: number): number {
  if (role === "search_lost") return (x + y) % PERIOD < 3 ? 0.62 : 0.16;
  if (role === "search_fails") {
    const [u, v] = [(x % PERIOD) - PERIOD / 2, (y % PERIOD) - PERIOD / 2];
    return u * u + v * v < 9 ? 0.85 : 0.28;
  }
  return opacity;
}

function colourOf(role: Role): [number, number, number, number] {
  const number = Number.parseInt(role.color.slice(1), 16);
  return [number >> 16, (number >> 8) & 255, number & 255, role.opacity];
}
