// What is told within the page: the outbox changed, the connection did, news of a run came.

export type News = "counts" | "connection" | "told" | "held";

const listeners = new Map<News, Set<() => void>>();
/** Other tabs of the same phone look at the same store. */
const tabs = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("slackwater-field");
if (tabs) tabs.onmessage = (event: MessageEvent<News>) => void remote.before().then(() => hear(event.data));

/** What is done first when another tab has told something. */
export const remote = { before: (): Promise<unknown> => Promise.resolve() };

export function on(news: News, listener: () => void): () => void {
  const all = listeners.get(news) ?? new Set();
  listeners.set(news, all.add(listener));
  return () => all.delete(listener);
}

export function tell(news: News): void {
  hear(news);
  tabs?.postMessage(news);
}

function hear(news: News): void {
  for (const listener of [...(listeners.get(news) ?? [])]) listener();
}
