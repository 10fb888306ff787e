// Builds the phone's page beside the map's: one script, one style sheet, icons, and the worker that keeps just
// these on the phone, each known to it by its content.
import { build } from "esbuild";
import { createHash } from "node:crypto";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";

const here = path.dirname(fileURLToPath(import.meta.url));
const source = path.join(here, "src", "field");
const shared = { absWorkingDir: here, bundle: true, format: "esm", target: ["es2022"], minify: true, legalComments: "inline", logLevel: "warning" };
const ICONS = ["icon_192", "icon_512", "icon_512_maskable"];

export async function buildField(page) {
  const { outputs } = (
    await build({
      ...shared,
      entryPoints: {
        field: "src/field/main.ts",
        field_look: "src/field/look.css",
        field_mark: "src/look/mark.svg",
        ...Object.fromEntries(ICONS.map((name) => [name, `src/field/${name}.png`])),
      },
      outdir: path.join(page, "assets"),
      entryNames: "[name]-[hash]",
      loader: { ".png": "copy", ".svg": "copy" },
      metafile: true,
    })
  ).metafile;
  const addresses = new Map();
  for (const [file, { entryPoint }] of Object.entries(outputs)) {
    if (entryPoint) addresses.set(path.basename(entryPoint), `/assets/${path.basename(file)}`);
  }
  await mkdir(path.join(page, "field"), { recursive: true });
  const html = await filledIn("field.html", addresses);
  const manifest = await filledIn("manifest.json", addresses);
  await writeFile(path.join(page, "field", "index.html"), html);
  await writeFile(path.join(page, "field", "manifest.webmanifest"), manifest);

  const files = [shellFile("/field", html), shellFile("/field/manifest.webmanifest", manifest)];
  for (const address of addresses.values()) files.push(shellFile(address, await readFile(path.join(page, address.slice(1)))));
  const version = createHash("sha256").update(JSON.stringify(files)).digest("hex").slice(0, 16);
  await build({
    ...shared,
    entryPoints: { sw: "src/field/sw.ts" },
    outdir: path.join(page, "field"),
    define: { SHELL: JSON.stringify({ version, files }) },
  });
}

function shellFile(url, content) {
  const bytes = Buffer.from(content);
  return { url, bytes: bytes.length, sha256: createHash("sha256").update(bytes).digest("hex") };
}

async function filledIn(name, addresses) {
  let text = await readFile(path.join(source, name), "utf8");
  for (const [entry, address] of addresses) text = text.replaceAll(`{${entry}}`, address);
  const left = text.match(/\{[a-z_0-9]+\.[a-z]+\}/);
  if (left) throw new Error(`${name} names ${left[0]}, which was not built`);
  return text;
}
