// Puts the viewer together: one script, one style sheet, and the names of the packages in it.

import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { build } from "esbuild";

const into = process.argv[2];
const result = await build({
  entryPoints: { viewer: "src/page.ts", live: "src/open.ts" },
  bundle: true,
  minify: true,
  format: "iife",
  target: ["es2022"],
  charset: "utf8",
  legalComments: "none",
  metafile: true,
  outdir: into,
  logLevel: "warning",
});
await build({
  entryPoints: { viewer: "src/page.css", live: "src/live.css" },
  bundle: true,
  minify: true,
  charset: "utf8",
  outdir: into,
  logLevel: "warning",
});

const inside = Object.keys(result.metafile.outputs)
  .flatMap((name) => Object.keys(result.metafile.outputs[name].inputs))
  .map((file) => /node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(file)?.[1])
  .filter((name) => name !== undefined);
writeFileSync(join(into, "packages.txt"), [...new Set(inside)].sort().join("\n") + "\n");
