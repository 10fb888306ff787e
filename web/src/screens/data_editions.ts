// Follows the editions of the data: after a change of one's own the numbers are stale in the same frame and
// the new ones come by themselves, with a line on what moved; a change by somebody else is only told.
import type { Desk } from "../core/desk.ts";
import type { Dispose } from "../core/dispose.ts";
import { together } from "../core/dispose.ts";
import { movedLine, type Stood, standingNow } from "../core/edit_moved.ts";
import { EditionWatch, type Sight } from "../core/edition_watch.ts";
import { moment } from "../core/numbers.ts";
import type { News } from "../parts/edit_news.ts";
import { type Essentials, fetchEssentials, fetchSurroundings, type Surroundings } from "../wire/catchment.ts";
import { type EditionNow, fetchEdition, fetchHistory } from "../wire/edits.ts";

/** A change of one's own whose numbers are not on the page yet. */
export interface Awaited {
  readonly before: ReadonlyMap<string, Stood>;
  readonly codes: readonly string[];
  readonly words: string;
  /** The focus was on the page that went. */
  readonly held: boolean;
}

export interface EditionPlaces {
  readonly desk: Desk;
  readonly news: News;
  readonly carried: { awaited: Awaited | null };
  readonly renew: (essentials: Essentials, surroundings: Promise<Surroundings>) => void;
  /** Somebody is typing: nothing is to be taken down. */
  readonly isBusy: () => boolean;
  /** Puts the focus where one would go on. */
  readonly takeFocus: () => void;
}

export interface Editions {
  readonly wrote: (revision: number, codes: readonly string[], words: string) => void;
  /** Nobody is typing any more: what waited for it is shown. */
  readonly rested: () => void;
  readonly dispose: Dispose;
}

const PAGE_SEEN: Sight = {
  isHidden: () => document.hidden,
  onSeen: (hear) => {
    const seen = (): void => {
      if (!document.hidden) hear();
    };
    document.addEventListener("visibilitychange", seen);
    return () => document.removeEventListener("visibilitychange", seen);
  },
};

export function followEditions({ desk, news, carried, renew, isBusy, takeFocus }: EditionPlaces): Editions {
  const { scene, outcome } = desk;
  const { facts } = scene;
  const leaving = new AbortController();
  const page = document.documentElement;
  let waits = false;
  let fetching = false;
  const watch = new EditionWatch(facts.edition ?? "", facts.revision ?? 0, fetchEdition, { ready, behind }, undefined, PAGE_SEEN);

  function ready(now: EditionNow, own: boolean): void {
    if (own && !isBusy()) void show();
    else if (own) {
      waits = true;
      news.say("The new numbers are ready.", "Show them", () => void show());
    } else void tellOthers(now);
  }

  async function tellOthers(now: EditionNow): Promise<void> {
    const last = await fetchHistory({ limit: 1 }).catch(() => null);
    const [edit] = last?.edits ?? [];
    if (leaving.signal.aborted) return;
    news.say(`The data changed (${edit ? `${edit.by}, ${moment(edit.at)}` : moment(now.changed_at)}).`, "Show it", () => void show());
  }

  function behind(now: EditionNow, own: boolean): void {
    if (now.failure) news.say(`${own ? "Saved, but" : "The data changed, but"} the new numbers could not be worked out: ${now.failure} Shown are those before.`);
  }

  async function show(): Promise<void> {
    if (fetching) return;
    fetching = true;
    waits = false;
    try {
      const { viewer } = scene.offtakes;
      const essentials = await fetchEssentials(viewer, leaving.signal);
      const around = await fetchSurroundings(viewer, leaving.signal).catch(() => null);
      if (leaving.signal.aborted) return;
      const awaited = carried.awaited ?? { before: standingNow(scene, outcome.now), codes: [], words: "Shown now." };
      carried.awaited = { ...awaited, held: document.activeElement !== document.body };
      renew(essentials, around ? Promise.resolve(around) : Promise.reject(new Error("not fetched")));
    } catch (error) {
      fetching = false;
      if (!leaving.signal.aborted) news.say(`The new numbers could not be fetched. ${error instanceof Error ? error.message : ""}`, "Try again", () => void show());
    }
  }

  /** On a page that has just come: what moved, once the set shown is known. */
  function tellMoved(): Dispose {
    page.classList.remove("data-stale");
    const { awaited } = carried;
    if (!awaited) return () => undefined;
    if (awaited.held && document.activeElement === document.body) takeFocus();
    let stop: Dispose = () => undefined;
    const tell = (): void => {
      if (outcome.now.way === "best" && (outcome.now.stale || !outcome.now.best?.final)) return;
      stop();
      carried.awaited = null;
      news.say(`${awaited.words} ${movedLine(awaited.before, standingNow(scene, outcome.now), awaited.codes)}`);
    };
    news.say(`${awaited.words} Shown are the new numbers.`);
    stop = outcome.onChange(tell);
    tell();
    return () => stop();
  }

  const told = tellMoved();
  return {
    wrote: (revision, codes, words) => {
      // A note changes no data: there are no new numbers to wait for.
      if (revision === scene.facts.revision) return news.say(words);
      const earlier = carried.awaited;
      carried.awaited = {
        before: earlier?.before ?? standingNow(scene, outcome.now),
        codes: [...new Set([...(earlier?.codes ?? []), ...codes])],
        words,
        held: false,
      };
      page.classList.add("data-stale");
      news.say(`${words} Working out the new numbers…`);
      watch.wrote(revision);
    },
    rested: () => {
      if (waits && !isBusy()) void show();
    },
    dispose: together([() => leaving.abort(), watch.dispose, told]),
  };
}
