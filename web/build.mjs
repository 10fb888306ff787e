// Builds the page into the server's folder: one script, one style sheet, their names by content.
import { build } from "esbuild";
import { mkdir, readFile, rm, writeFile } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";

const here = path.dirname(fileURLToPath(import.meta.url));
const page = path.join(here, "..", "server", "slackwater", "page");

await rm(page, { recursive: true, force: true });
await mkdir(path.join(page, "assets"), { recursive: true });

const result = await build({
  absWorkingDir: here,
  entryPoints: { page: "src/main.ts", look: "src/look/look.css", mark: "src/look/mark.svg" },
  outdir: path.join(page, "assets"),
  entryNames: "[name]-[hash]",
  assetNames: "[name]-[hash]",
  bundle: true,
  format: "esm",
  target: ["es2022"],
  loader: { ".png": "file", ".svg": "copy" },
  minify: true,
  legalComments: "inline",
  metafile: true,
  logLevel: "warning",
});

let html = await readFile(path.join(here, "src", "index.html"), "utf8");
for (const [file, made] of Object.entries(result.metafile.outputs)) {
  const name = made.entryPoint && path.parse(made.entryPoint).base;
  if (name) html = html.replaceAll(`{${name}}`, `/assets/${path.basename(file)}`);
}
const left = html.match(/\{[a-z_]+\.[a-z]+\}/);
if (left) throw new Error(`index.html names ${left[0]}, which was not built`);
await writeFile(path.join(page, "index.html"), html);
