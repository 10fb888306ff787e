// Keeps the page itself on the phone, so that it opens without a connection. It keeps no answer of the service:
// what a run needs lies in the page's own store, put there by the page.
export {};

interface ShellFile {
  readonly url: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** Written in by the build. */
declare const SHELL: { readonly version: string; readonly files: readonly ShellFile[] };

interface Waiting extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Fetching extends Event {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Worker {
  addEventListener(name: "install" | "activate", hear: (event: Waiting) => void): void;
  addEventListener(name: "fetch", hear: (event: Fetching) => void): void;
  addEventListener(name: "message", hear: (event: MessageEvent) => void): void;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
  readonly location: Location;
}

const worker = globalThis as unknown as Worker;
const PREFIX = "slackwater-field-";
const SHELF = PREFIX + SHELL.version;
const FILES = new Set(SHELL.files.map((file) => file.url));

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(takeOver()));
worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== worker.location.origin || !FILES.has(url.pathname)) return;
  event.respondWith(kept(url.pathname, event.request));
});
worker.addEventListener("message", (event) => {
  if (event.data === "shell") event.ports[0]?.postMessage({ shelf: SHELF, ...SHELL });
});

/** Where an earlier page is kept whole, it stays until this one is; the first may be filled up by the page. */
async function install(): Promise<void> {
  const earlier = (await caches.keys()).some((name) => name.startsWith(PREFIX) && name !== SHELF);
  const shelf = await caches.open(SHELF);
  const all = await Promise.allSettled(SHELL.files.map(({ url }) => put(shelf, url)));
  if (earlier && all.some(({ status }) => status === "rejected")) throw new Error("not all of the new page came");
  await worker.skipWaiting();
}

async function put(shelf: Cache, url: string): Promise<void> {
  const answer = await fetch(url, { cache: "no-cache" });
  if (!answer.ok) throw new Error(url);
  await shelf.put(url, answer);
}

async function takeOver(): Promise<void> {
  for (const name of await caches.keys()) if (name.startsWith(PREFIX) && name !== SHELF) await caches.delete(name);
  await worker.clients.claim();
}

async function kept(path: string, request: Request): Promise<Response> {
  const shelf = await caches.open(SHELF);
  return (await shelf.match(path)) ?? fetch(request);
}
