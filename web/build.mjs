// The page as four files: node web/build.mjs --out FOLDER -> index.html app.js app.css icon.svg
// tools/embed.py puts them into the binary and gives each path its hash. A bundle is built, never
// committed: it holds other people's code.
import { copyFileSync, mkdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const at = process.argv.indexOf("--out");
const out = at > 0 ? process.argv[at + 1] : join(here, "dist");

let esbuild;
try {
  esbuild = await import("esbuild");
} catch {
  console.error("web/build.mjs: esbuild is not there: run 'npm ci' in web/ first");
  process.exit(1);
}

// the bundle holds Preact: its licence goes with it
const licence_text = readFileSync(join(here, "node_modules", "preact", "LICENSE"), "utf8");
const licence = `/*! Preact\n${licence_text.replace(/\*\//g, "")}*/`;

mkdirSync(out, { recursive: true });
await esbuild.build({
  entryPoints: { app: join(here, "app.tsx") },
  outdir: out,
  bundle: true,
  minify: true,
  format: "iife",
  target: "es2020",
  jsx: "automatic",
  jsxImportSource: "preact",
  banner: { js: licence },
  legalComments: "inline",
  charset: "utf8",
  logLevel: "warning",
});
await esbuild.build({
  entryPoints: { app: join(here, "app.css") },
  outdir: out,
  bundle: true,
  minify: true,
  logLevel: "warning",
});
for (const name of ["index.html", "icon.svg"]) copyFileSync(join(here, name), join(out, name));
