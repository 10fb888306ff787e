// Builds the page into the server's folder, names by content: a first script that asks for the data,
// the rest of them that show it, one style sheet.
import { build } from "esbuild";
import { copyFile, mkdir, readFile, rm, writeFile } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { buildField } from "./build_field.mjs";
import { buildMeet } from "./build_meet.mjs";

const here = path.dirname(fileURLToPath(import.meta.url));
const page = path.join(here, "..", "server", "slackwater", "page");

await rm(page, { recursive: true, force: true });
await mkdir(path.join(page, "assets"), { recursive: true });

// Leaflet's own modules are smaller than its one script for old browsers, which its package names first.
const leaflet = {
  name: "leaflet",
  setup: ({ onResolve }) =>
    onResolve({ filter: /^leaflet$/ }, () => ({ path: path.join(here, "node_modules", "leaflet", "dist", "leaflet-src.esm.js") })),
};

const result = await build({
  absWorkingDir: here,
  entryPoints: { page: "src/main.ts", look: "src/look/look.css", mark: "src/look/mark.svg" },
  outdir: path.join(page, "assets"),
  entryNames: "[name]-[hash]",
  chunkNames: "[name]-[hash]",
  assetNames: "[name]-[hash]",
  bundle: true,
  splitting: true,
  format: "esm",
  target: ["es2022"],
  loader: { ".png": "file", ".svg": "copy" },
  plugins: [leaflet],
  minify: true,
  legalComments: "inline",
  metafile: true,
  logLevel: "warning",
});

const { outputs } = result.metafile;
const addressOf = (file) => `/assets/${path.basename(file)}`;
let html = await readFile(path.join(here, "src", "index.html"), "utf8");
for (const [file, { entryPoint }] of Object.entries(outputs)) {
  if (entryPoint) html = html.replaceAll(`{${path.basename(entryPoint)}}`, addressOf(file));
}
// What the first picture needs is asked for with the first script, not after it; the rest on demand.
const first = new Set();
const take = (file, kinds) => {
  for (const each of outputs[file].imports) {
    if (each.external || first.has(each.path) || !kinds.includes(each.kind)) continue;
    first.add(each.path);
    take(each.path, ["import-statement"]);
  }
};
const start = Object.keys(outputs).find((file) => outputs[file].entryPoint === "src/main.ts");
take(start, ["import-statement", "dynamic-import"]);
const links = [...first].map((file) => `<link rel="modulepreload" href="${addressOf(file)}">`);
html = html.replace("</head>", `  ${links.join("\n    ")}\n  </head>`);
const left = html.match(/\{[a-z_]+\.[a-z]+\}/);
if (left) throw new Error(`index.html names ${left[0]}, which was not built`);
await writeFile(path.join(page, "index.html"), html);

// The stand-alone map file holds Leaflet whole, as its makers give it; the server writes it in.
await mkdir(path.join(page, "leaflet"));
for (const file of ["dist/leaflet.js", "dist/leaflet.css", "LICENSE"]) {
  await copyFile(path.join(here, "node_modules", "leaflet", file), path.join(page, "leaflet", path.basename(file)));
}

await buildField(page);
await buildMeet(page);
