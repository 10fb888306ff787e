// The phone's page of one meeting: its parts together, and what each tells the others.
import { type Dispose, together } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import { forget, recall } from "./kept.ts";
import { type Levels, levelsNear, sameLevels } from "./mine.ts";
import { makeFind } from "./phone_find.ts";
import { makeGroup } from "./phone_group.ts";
import { makeList } from "./phone_list.ts";
import { makeMap } from "./phone_map.ts";
import { makeNotes } from "./phone_notes.ts";
import { makePlaces } from "./phone_places.ts";
import { makeResult } from "./phone_result.ts";
import { type Sending, type Standing, startSending } from "./phone_sending.ts";
import { setsOf } from "./phone_stands.ts";
import { makeWall } from "./phone_wall.ts";
import { mountWeights } from "./phone_weights.ts";
import { caseWords, insideWords, lostWords, privateWords, STANDING_WORDS, startWords } from "./phone_words.ts";
import { follow, type Meeting } from "./wire.ts";
import { counted, spacedCode } from "./words.ts";

/** A phone that is not in the meeting has nothing to set. */
const OUT: readonly Standing[] = ["full", "door_closed", "dropped", "over"];
const WAIT_WORDS = "Working it out…";
const UNSENT_WORDS = "Not sent yet.";

export function mountPhone(host: HTMLElement, meeting: Meeting): Dispose {
  const kept = recall(meeting);
  const start = levelsNear(meeting.weights, meeting.criteria.map(({ name }) => name));
  const wall = makeWall(meeting);
  const notes = makeNotes(() => sending.joinAgain());
  const weights = mountWeights(meeting, start, { set: moved, withdraw });
  const [result, list] = [makeResult(), makeList(meeting)];
  const map = makeMap(meeting, (spot) => places.tapped(spot));
  const find = makeFind(meeting, { found: map.seek, onMap: map.look });
  const places = makePlaces(meeting, { places: kept.places, set: (next) => sending.set({ places: next }), drawn: map.mark });
  const group = makeGroup(meeting, kept.group, (chosen) => sending.set({ group: chosen }));
  const own = [weights.element, places.element, group];
  const stamp = element("p", { class: "stamp" }, [meeting.stamp]);
  const [head, promise] = headOf(meeting);
  /** Of a meeting that goes on; none of it is true of one that is over. */
  const going = [promise, weights.element, result.element, find.element, list.element, map.element, places.element, group];
  const main = element("main", { class: "phone", tabindex: -1 }, [head, notes.element, wall.element, ...going.slice(1), stamp]);
  let [standing, awaited]: [Standing, boolean] = ["joining", kept.levels !== null];
  let stopFollowing: Dispose | null = null;
  let [lost, out] = ["", false];
  host.replaceChildren(main);

  function showInside(codes: readonly string[], isOwn: boolean): void {
    const sets = setsOf(meeting, codes, isOwn);
    result.show(isOwn ? insideWords(sets) : startWords(sets), counted(codes.length, "offtake"));
    for (const part of [find, list, map]) part.show(sets);
    result.age(awaited ? WAIT_WORDS : "");
  }

  function moved(levels: Levels): void {
    if (sameLevels(levels, sending.mine().levels)) return;
    awaited = true;
    sending.set({ levels });
    weights.show(levels, true);
    result.age(WAIT_WORDS);
  }

  function withdraw(): void {
    sending.set({ levels: null });
    showAgencys();
  }

  function showAgencys(): void {
    awaited = false;
    weights.show(start, false);
    showInside(meeting.offtakes.filter((each) => each.by_score).map((each) => each.code), false);
  }

  function tellTrouble(): void {
    result.trouble(lost || (standing === "waiting" ? STANDING_WORDS.waiting : ""));
  }

  function hide(parts: readonly HTMLElement[], hidden: boolean): void {
    if (hidden && parts.some((part) => part.contains(document.activeElement))) main.focus();
    for (const part of parts) part.hidden = hidden;
  }

  function followAs(phone: string): void {
    stopFollowing?.();
    stopFollowing = follow(meeting.code, {
      phone,
      now: (now) => {
        wall.show(now);
        if (now.door_open && standing === "door_closed") sending.again();
      },
      link: (since) => {
        lost = since ? lostWords(since) : "";
        tellTrouble();
        if (!since) sending.again();
      },
      ended: over,
      refused: (error) => sending.failed(error),
    });
  }

  function over(minutes: boolean): void {
    stopFollowing?.();
    sending.stop();
    result.trouble("");
    forget(meeting.code);
    notes.over(meeting.code, minutes);
    wall.end();
    hide(going, true);
    main.focus();
  }

  const sending: Sending = startSending(meeting.code, kept, {
    stands: (next) => {
      standing = next;
      out = OUT.includes(next) || (out && next !== "in"); // while it tries again nothing flickers
      if (OUT.includes(next) === out) notes.stands(next);
      tellTrouble();
      hide(own, out);
      if (OUT.includes(next)) notes.element.scrollIntoView({ block: "nearest" });
      if (next === "dropped" || !stopFollowing) followAs("");
    },
    joined: followAs,
    inside: (codes, under) => {
      if (!sending.mine().levels) return; // withdrawn since
      awaited = !sameLevels(under, sending.mine().levels);
      showInside(codes, true);
    },
    refused: notes.refused,
    reached: (answered) => {
      if (!answered && awaited) result.age(UNSENT_WORDS);
      if (!answered && !stopFollowing) followAs("");
    },
    over,
  });
  if (kept.phone) followAs(kept.phone);
  showAgencys();
  if (kept.levels) {
    awaited = true;
    weights.show(kept.levels, true);
    result.age(WAIT_WORDS);
  }
  const stopNet = watchNet((up) => {
    lost = up ? "" : lostWords(new Date()); // sooner than the stream falls silent
    tellTrouble();
    if (up) sending.again();
  });
  return together([stopNet, map.dispose, sending.stop, () => stopFollowing?.(), () => host.replaceChildren()]);
}

function watchNet(changed: (up: boolean) => void): Dispose {
  const [up, down] = [() => changed(true), () => changed(false)];
  addEventListener("online", up);
  addEventListener("offline", down);
  return () => {
    removeEventListener("online", up);
    removeEventListener("offline", down);
  };
}

/** What the meeting is about, and what is promised as long as it lasts. */
function headOf(meeting: Meeting): readonly [head: HTMLElement, promise: HTMLElement] {
  const promise = element("p", { class: "phone-private" }, [privateWords(meeting.least_tried)]);
  const head = element("header", { class: "phone-head" }, [
    element("p", { class: "phone-code" }, ["Meeting ", element("strong", {}, [spacedCode(meeting.code)])]),
    element("h1", {}, [meeting.catchment]),
    element("p", {}, [caseWords(meeting)]),
    promise,
  ]);
  return [head, promise];
}
