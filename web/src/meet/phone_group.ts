// For whom somebody speaks, if they want to say: one of the groups, or nothing, and back again.
import { element } from "../parts/element.ts";
import { groupWords } from "./phone_words.ts";
import type { Meeting } from "./wire.ts";

export function makeGroup({ groups, least_tried: least }: Meeting, chosen: string, choose: (group: string) => void): HTMLElement {
  const choices = ["", ...groups].map((group) => {
    const input = element("input", { type: "radio", name: "group", value: group });
    input.checked = group === chosen;
    input.addEventListener("change", () => choose(group));
    return element("label", { class: "choice" }, [input, group === "" ? "I’d rather not say" : group[0]?.toUpperCase() + group.slice(1)]);
  });
  const why = element("p", { class: "soft", id: "group-why" }, [groupWords(least)]);
  return element("section", { class: "group-part" }, [element("fieldset", { "aria-describedby": why.id }, [element("legend", {}, ["I speak for"]), why, element("div", { class: "choices" }, choices)])]);
}
