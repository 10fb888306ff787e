// The screens that would go on it, best first, and those that would not, with what stands against them.
import { type About, compareScreens, costText, gainText, screenLines } from "../core/why_screens.ts";
import type { Screen } from "../wire/why.ts";
import { element } from "./element.ts";
import { GUIDE, termList, whyBlock } from "./why_block.ts";

const CAUTION =
  "For comparison and budgeting. The built screen is designed by a qualified engineer to the criteria " +
  "and permits of the place.";

const BANDS = "Costs are told in bands here: exact ones are for the agency, and quotes for the lead alone.";

export function screensBlock(screens: readonly Screen[], about: About): HTMLElement {
  const { feasible, ruledOut } = compareScreens(screens, about.fundedId);
  return whyBlock("screens", "The screen", "screens are sized and priced", GUIDE.screen, [
    ...(feasible.length ? [] : [element("p", {}, ["None of the options fits this intake."])]),
    ...(feasible.some((screen) => screen.depth_unknown) ? [measureDepth()] : []),
    ...feasible.map((screen, i) => oneScreen(screen, about, i === 0)),
    ...(ruledOut.length ? [notFor(ruledOut)] : []),
    ...(feasible.some(inBands) ? [element("p", { class: "why-note" }, [BANDS])] : []),
    element("p", { class: "why-note" }, [CAUTION]),
  ]);
}

function inBands({ capital, capital_band: band }: Screen): boolean {
  return capital === undefined && band != null;
}

function measureDepth(): HTMLElement {
  return element("p", { class: "why-do" }, [
    element("strong", {}, ["Measure depth"]),
    ": how deep the water stands at the intake is not known, so these fit only if it is deep enough.",
  ]);
}

function oneScreen(screen: Screen, about: About, open: boolean): HTMLElement {
  const glance = [gainText(screen, about.counted), costText(screen, about.currency)].filter(
    (each): each is string => each !== null,
  );
  const made = element("details", { class: "why-screen" }, [
    element("summary", {}, [
      element("span", { class: "why-screen-name" }, [screen.name]),
      element("span", { class: "why-screen-glance" }, [
        glance.join(", "),
        ...(screen.option_id === about.fundedId ? [element("span", { class: "why-best" }, ["funded in the set shown"])] : []),
        ...(screen.is_best ? [element("span", { class: "why-best" }, ["best by itself"])] : []),
      ]),
    ]),
    termList(screenLines(screen, about)),
  ]);
  made.open = open;
  return made;
}

function notFor(ruledOut: readonly (readonly [string, string])[]): HTMLElement {
  const words = ruledOut.map(([name, obstacles]) => (obstacles ? `${name} (${obstacles})` : name)).join(", ");
  return element("p", { class: "why-note" }, [`Not for this intake: ${words}.`]);
}
