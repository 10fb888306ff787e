// The page's address says what is seen, and the page follows it back and forward. What a person would call
// a step is a new entry of the browser's own history; a drag, and where the map looks, change the last.
import { NONE } from "../core/chosen.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { isStep, type Step, stepOf } from "../core/history.ts";
import { type Link, linkOf, type MapView, type Named, readLink } from "../core/link.ts";
import { paced } from "../core/paced.ts";
import type { Scene } from "../core/scene.ts";
import { ALL_GUILDS, isSame, type TrialState, withReasons } from "../core/trial.ts";

/** Browsers refuse addresses that change much more often. */
const REST_MS = 150;

/** The part of the map that an address speaks of. */
export interface LookingMap {
  readonly view: () => MapView | null;
  readonly look: (view: MapView | null) => void;
  readonly onRest: (hear: () => void) => Dispose;
}

/** What the address says as the page stands on it, reasons too where this tab knows them. */
export function linkAtAddress(scene: Scene, base: TrialState, onCase: boolean, entry: unknown = history.state): Link | null {
  const link = readLink(location.hash, base, namedIn(scene), onCase);
  if (!link || !isStep(entry, stepOf(base))) return link;
  const { keptIn, leftOut } = link.trial;
  return { ...link, trial: { ...link.trial, keptIn: withReasons(keptIn, entry.keptIn), leftOut: withReasons(leftOut, entry.leftOut) } };
}

/** `base` is what stands without a link; `heard` is told of every link that is followed. */
export function keepAddress(desk: Desk, map: LookingMap, base: TrialState, onCase: boolean, heard: (link: Link | null) => void): Dispose {
  const { scene, trial, chosen } = desk;
  const { offtakes, facts } = scene;
  let isStepOn = false;
  let following = false;
  const writing = paced(write, REST_MS);

  function write(): void {
    const selected = offtakes.offtake_id[chosen.now.selected] ?? "";
    const hash = `#${linkOf({ trial: trial.now, selected, map: map.view() }, facts.data_version, onCase)}`;
    const entry: Step = stepOf(trial.now);
    const push = isStepOn && hash !== location.hash;
    isStepOn = false;
    if (hash === location.hash && isSame(history.state, entry)) return;
    history[push ? "pushState" : "replaceState"](entry, "", `${location.pathname}${location.search}${hash}`);
  }

  function say(step: boolean): void {
    if (following) return;
    isStepOn ||= step;
    writing.soon();
  }

  function follow({ state }: PopStateEvent): void {
    const link = linkAtAddress(scene, { ...base, trialsListed: trial.now.trialsListed }, onCase, state);
    following = true;
    trial.change(link?.trial ?? base);
    chosen.select(offtakes.offtake_id.indexOf(link?.selected ?? ""), "card");
    map.look(link?.map ?? null);
    following = false;
    heard(link);
    say(false);
  }

  say(false);
  addEventListener("popstate", follow);
  addEventListener("pagehide", writing.flush);
  return together([
    writing.flush,
    () => {
      removeEventListener("popstate", follow);
      removeEventListener("pagehide", writing.flush);
    },
    trial.onChange((now, before, going) => say(!going && (now.tab !== before.tab || now.held !== before.held || !isSame(stepOf(now), stepOf(before))))),
    chosen.onChange((now, before) => {
      if (now.selected !== before.selected) say(now.selected === NONE || before.selected === NONE);
    }),
    map.onRest(() => say(false)),
  ]);
}

function namedIn({ facts, offtakes }: Scene): Named {
  return {
    codes: new Set(offtakes.offtake_id),
    guilds: new Set([ALL_GUILDS, ...facts.guilds.map(({ guild_id: id }) => id)]),
    districts: new Set(offtakes.district),
  };
}
