// The phone's page of one meeting: its parts together, and what each tells the others.
import { type Dispose, together } from "../core/dispose.ts";
import { caseWords, insideWords, lostWords, privateWords, STANDING_WORDS, startWords } from "./phone_words.ts";
import { element } from "../parts/element.ts";
import { forget, recall } from "./kept.ts";
import { type Levels, levelsNear, sameLevels } from "./mine.ts";
import { makeGroup } from "./phone_group.ts";
import { makeList } from "./phone_list.ts";
import { makeMap } from "./phone_map.ts";
import { makeNotes } from "./phone_notes.ts";
import { makePlaces } from "./phone_places.ts";
import { makeResult } from "./phone_result.ts";
import { type Sending, type Standing, startSending } from "./phone_sending.ts";
import { makeWall } from "./phone_wall.ts";
import { mountWeights } from "./phone_weights.ts";
import { follow, type Meeting } from "./wire.ts";
import { spacedCode } from "./words.ts";

/** A phone that is not in the meeting has nothing to set. */
const OUT: readonly Standing[] = ["full", "door_closed", "dropped", "over"];
const WAIT_WORDS = "Working it out…";
const UNSENT_WORDS = "These figures are of before your last move.";

export function mountPhone(host: HTMLElement, meeting: Meeting): Dispose {
  const kept = recall(meeting);
  const agencys = new Set(meeting.offtakes.filter((each) => each.state === "inside").map((each) => each.code));
  const start = levelsNear(meeting.weights, meeting.criteria.map(({ name }) => name));
  const wall = makeWall(meeting);
  const notes = makeNotes(() => sending.joinAgain());
  const weights = mountWeights(meeting, start, moved);
  const [result, list] = [makeResult(), makeList(meeting)];
  const map = makeMap(meeting, (spot) => places.tapped(spot));
  const places = makePlaces(meeting, { places: kept.places, set: (next) => sending.set({ places: next }), drawn: map.mark });
  const group = makeGroup(meeting, kept.group, (chosen) => sending.set({ group: chosen }));
  const own = [weights.element, places.element, group];
  const stamp = element("p", { class: "stamp" }, [meeting.stamp]);
  const main = element("main", { class: "phone", tabindex: -1 }, [headOf(meeting), notes.element, wall.element, weights.element, result.element, list.element, map.element, places.element, group, stamp]);
  let [standing, awaited]: [Standing, boolean] = ["joining", kept.levels !== null];
  let stopFollowing: Dispose | null = null;
  let [lost, out] = ["", false];
  host.replaceChildren(main);

  function showInside(codes: readonly string[], isOwn: boolean): void {
    result.show(isOwn ? insideWords(codes, agencys) : startWords(codes, meeting));
    list.show(codes, isOwn);
    map.show(codes, isOwn);
    result.age(awaited ? WAIT_WORDS : "");
  }

  function moved(levels: Levels): void {
    if (sameLevels(levels, sending.mine().levels ?? start)) return;
    awaited = true;
    sending.set({ levels });
    weights.show(levels, true);
    result.age(WAIT_WORDS);
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
  weights.show(kept.levels ?? start, kept.levels !== null);
  showInside(meeting.offtakes.filter((each) => each.by_score).map((each) => each.code), false);
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

function headOf(meeting: Meeting): HTMLElement {
  return element("header", { class: "phone-head" }, [
    element("p", { class: "phone-code" }, ["Meeting ", element("strong", {}, [spacedCode(meeting.code)])]),
    element("h1", {}, [meeting.catchment]),
    element("p", {}, [caseWords(meeting)]),
    element("p", { class: "phone-private" }, [privateWords(meeting.least_tried)]),
  ]);
}
