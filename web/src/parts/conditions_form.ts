// What the best set has to keep to besides the budget: most installs, and least and most of the budget a
// district may have.
import { typedNumber } from "../core/dials.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { decimals } from "../core/numbers.ts";
import type { Shares } from "../core/trial.ts";
import { element } from "./element.ts";

type Edge = "districtLeast" | "districtMost";

export function mountConditionsForm(host: HTMLElement, desk: Desk): Dispose {
  const { scene, trial } = desk;
  const districts = [...new Set(scene.offtakes.district)].filter((name) => name !== "").sort();
  const installs = box("Most installs");
  const rows = districts.map((name) => ({
    name,
    least: box(`Least share of the budget for ${name}, per cent`),
    most: box(`Most share of the budget for ${name}, per cent`),
  }));
  const wrong = element("p", { class: "hand-wrong", role: "alert" });
  const form = element("details", { class: "drawer-part conditions" }, [
    element("summary", {}, ["Conditions of the best set"]),
    element("label", { class: "conditions-installs" }, ["Most installs", installs]),
    ...(rows.length ? [districtTable()] : []),
    wrong,
    element("p", { class: "drawer-foot" }, ["Empty means no condition. Accepted offtakes count."]),
  ]);
  host.append(form);
  const pumps = pumpsTogether(form, desk);

  function districtTable(): HTMLElement {
    return element("table", { class: "conditions-table" }, [
      element("caption", { class: "unseen" }, ["Share of the budget by district"]),
      element("thead", {}, [element("tr", {}, ["District", "at least, %", "at most, %"].map((head) => element("th", { scope: "col" }, [head])))]),
      element("tbody", {}, rows.map(({ name, least, most }) =>
        element("tr", {}, [element("th", { scope: "row" }, [name]), element("td", {}, [least]), element("td", {}, [most])]),
      )),
    ]);
  }

  function show(): void {
    const { now } = trial;
    form.hidden = now.way === "score";
    for (const at of [installs, ...rows.flatMap(({ least, most }) => [least, most])]) at.disabled = now.held;
    fill(installs, now.mostInstalls === null ? "" : decimals(now.mostInstalls, 0));
    for (const { name, least, most } of rows) {
      fill(least, shareText(now.districtLeast[name]));
      fill(most, shareText(now.districtMost[name]));
    }
  }

  function refuse(at: HTMLInputElement, words: string): void {
    wrong.textContent = words;
    if (words) at.setAttribute("aria-invalid", "true");
    else at.removeAttribute("aria-invalid");
  }

  function takeInstalls(): void {
    const value = installs.value.trim() === "" ? null : typedNumber(installs.value);
    if (installs.value.trim() !== "" && (value === null || value < 0 || value % 1 !== 0)) {
      refuse(installs, "Most installs is a whole number.");
      return;
    }
    refuse(installs, "");
    trial.change({ mostInstalls: value });
  }

  function takeShare(at: HTMLInputElement, edge: Edge, name: string): void {
    const text = at.value.trim();
    const value = typedNumber(text);
    if (text !== "" && (value === null || value > 100)) {
      refuse(at, "A share of the budget is 0 to 100 %.");
      return;
    }
    refuse(at, "");
    const rest = Object.fromEntries(Object.entries(trial.now[edge]).filter(([each]) => each !== name));
    const next: Shares = text === "" ? rest : { ...rest, [name]: (value ?? 0) / 100 };
    trial.change({ [edge]: next });
  }

  show();
  return together([
    trial.onChange(show),
    listen(installs, "change", takeInstalls),
    ...rows.flatMap(({ name, least, most }) => [
      listen(least, "change", () => takeShare(least, "districtLeast", name)),
      listen(most, "change", () => takeShare(most, "districtMost", name)),
    ]),
    pumps,
    () => form.remove(),
  ]);
}

/** Pumps of one owner, fetched when the conditions are first unfolded. */
function pumpsTogether(form: HTMLElement, desk: Desk): Dispose {
  let [asked, gone] = [!desk.scene.offtakes.holder, false];
  let dispose: Dispose = () => undefined;
  const unfold = async (): Promise<void> => {
    if (asked) return;
    asked = true;
    const { mountTogether } = await import("./follow_together.ts");
    if (!gone) dispose = mountTogether(form, desk);
  };
  const stop = listen(form, "toggle", () => void unfold().catch(() => (asked = false)));
  return () => {
    gone = true;
    stop();
    dispose();
  };
}

function box(words: string): HTMLInputElement {
  return element("input", { type: "text", inputmode: "decimal", class: "text-field", autocomplete: "off", "aria-label": words });
}

function fill(at: HTMLInputElement, text: string): void {
  if (document.activeElement !== at && at.value !== text) at.value = text;
}

function shareText(share: number | undefined): string {
  return share === undefined ? "" : decimals(share * 100, (share * 100) % 1 > 1e-9 ? 1 : 0);
}
