// Builds the page into the server's folder, names by content: a first script that asks for the data,
// the rest of them that show it, one style sheet.
import { build } from "esbuild";
import { mkdir, readFile, rm, writeFile } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";

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

const outputs = Object.entries(result.metafile.outputs).map(([file, { entryPoint }]) => ({
  address: `/assets/${path.basename(file)}`,
  source: entryPoint ? path.basename(entryPoint) : null,
}));
let html = await readFile(path.join(here, "src", "index.html"), "utf8");
for (const { address, source } of outputs) if (source) html = html.replaceAll(`{${source}}`, address);
// What the first script will import is asked for with it, not after it.
const later = outputs.filter(({ address }) => address.endsWith(".js") && !html.includes(address));
const links = later.map(({ address }) => `<link rel="modulepreload" href="${address}">`);
html = html.replace("</head>", `  ${links.join("\n    ")}\n  </head>`);
const left = html.match(/\{[a-z_]+\.[a-z]+\}/);
if (left) throw new Error(`index.html names ${left[0]}, which was not built`);
await writeFile(path.join(page, "index.html"), html);
