// Builds the meeting's pages beside the map's: each a script and a style sheet of its own, named by content.
import { build } from "esbuild";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";

const here = path.dirname(fileURLToPath(import.meta.url));
const source = path.join(here, "src", "meet");
const TITLES = { join: "Join a meeting", phone: "Meeting", wall: "Meeting on the wall", lead: "Leading a meeting" };

export async function buildMeet(page) {
  const names = Object.keys(TITLES);
  const parts = names.flatMap((name) => ["ts", "css"].map((kind) => ({ in: `src/meet/${name}.${kind}`, out: `meet_${name}` })));
  const { outputs } = (
    await build({
      absWorkingDir: here,
      entryPoints: [...parts, { in: "src/look/mark.svg", out: "meet_mark" }],
      outdir: path.join(page, "assets"),
      entryNames: "[name]-[hash]",
      bundle: true,
      format: "esm",
      target: ["es2022"],
      loader: { ".svg": "copy" },
      minify: true,
      legalComments: "inline",
      metafile: true,
      logLevel: "warning",
    })
  ).metafile;
  const addresses = new Map(Object.entries(outputs).map(([file, { entryPoint }]) => [entryPoint, `/assets/${path.basename(file)}`]));
  const addressOf = (file) => addresses.get(`src/${file}`);
  const empty = await readFile(path.join(source, "meet.html"), "utf8");
  await mkdir(path.join(page, "meet"), { recursive: true });
  for (const name of names) {
    const filled = { page: name, title: TITLES[name], mark: addressOf("look/mark.svg"), script: addressOf(`meet/${name}.ts`), look: addressOf(`meet/${name}.css`) };
    await writeFile(path.join(page, "meet", `${name}.html`), empty.replace(/\{([a-z]+)\}/g, (_, word) => filled[word]));
  }
}
