// Runs the tests of the page's pure rooms with Node's own runner, bundled first.
import { spawnSync } from "node:child_process";
import { mkdtemp, readdir, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = path.dirname(fileURLToPath(import.meta.url));
const out = await mkdtemp(path.join(tmpdir(), "page-tests-"));
const tests = (await readdir(here)).filter((name) => name.endsWith(".test.ts"));
await build({
  entryPoints: tests.map((name) => path.join(here, name)),
  outdir: out,
  outExtension: { ".js": ".mjs" },
  bundle: true,
  platform: "node",
  format: "esm",
  logLevel: "warning",
});
const made = (await readdir(out)).map((name) => path.join(out, name));
const { status } = spawnSync(process.execPath, ["--test", ...made], { stdio: "inherit" });
await rm(out, { recursive: true });
process.exit(status ?? 1);
