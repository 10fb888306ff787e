// Is the page itself on this phone? Said only of files that were read back from the store and are what was built.

export interface Shell {
  readonly shelf: string;
  readonly version: string;
  readonly files: readonly { readonly url: string; readonly bytes: number; readonly sha256: string }[];
}

export interface ShellHeld {
  readonly bytes: number;
  readonly files: number;
  /** Addresses of what is not there. */
  readonly missing: readonly string[];
}

const SCRIPT = "/field/sw.js";
const SCOPE = "/field";
const PATIENCE_MS = 20_000;

/** Whether notes can be taken without a connection here: a browser allows it over HTTPS or on this machine. */
export function canBeOffline(): boolean {
  return isSecureContext && "serviceWorker" in navigator && "caches" in globalThis;
}

export async function register(): Promise<void> {
  if (canBeOffline()) await navigator.serviceWorker.register(SCRIPT, { scope: SCOPE });
}

/** Fetches what is missing of the page, then reads everything back. */
export async function holdShell(): Promise<ShellHeld> {
  await register();
  const shell = await activeShell();
  const shelf = await caches.open(shell.shelf);
  for (const url of (await readBack(shell, shelf)).missing) {
    await shelf.delete(url); // or the worker would give what is spoilt again
    const answer = await fetch(url, { cache: "no-cache" }).catch(() => null);
    if (!answer?.ok) throw new Error(`A part of the page did not come${answer ? ` (${answer.status})` : ""}.`);
    await shelf.put(url, answer);
  }
  return readBack(shell, shelf);
}

/** Reads everything back, without a connection. */
export async function shellHeld(): Promise<ShellHeld> {
  const shell = await activeShell();
  return readBack(shell, await caches.open(shell.shelf));
}

/** What the worker that would answer without a connection knows as the page. */
async function activeShell(): Promise<Shell> {
  const ready = await inTime(navigator.serviceWorker.ready);
  const channel = new MessageChannel();
  const told = new Promise<Shell>((resolve) => (channel.port1.onmessage = (event: MessageEvent<Shell>) => resolve(event.data)));
  ready.active?.postMessage("shell", [channel.port2]);
  return inTime(told);
}

async function readBack(shell: Shell, shelf: Cache): Promise<ShellHeld> {
  const missing: string[] = [];
  let bytes = 0;
  for (const file of shell.files) {
    const content = await (await shelf.match(file.url))?.arrayBuffer();
    if (content?.byteLength === file.bytes && (await digest(content)) === file.sha256) bytes += file.bytes;
    else missing.push(file.url);
  }
  return { bytes, files: shell.files.length, missing };
}

export async function digest(content: BufferSource): Promise<string> {
  const made = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
  return [...made].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

function inTime<Result>(work: Promise<Result>): Promise<Result> {
  return Promise.race([
    work,
    new Promise<never>((_, reject) => setTimeout(() => reject(new Error("The browser did not set the page up for use without a connection.")), PATIENCE_MS)),
  ]);
}

/** Whether the browser promised not to clear the page's data by itself. */
export async function isLasting(): Promise<boolean> {
  return (await navigator.storage?.persisted?.().catch(() => false)) ?? false;
}

export async function askToLast(): Promise<boolean> {
  return (await navigator.storage?.persist?.().catch(() => false)) ?? false;
}
