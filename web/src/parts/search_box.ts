// Finds an offtake by code, label, river or district; choosing one selects it in list and map.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { find, findables, type Found } from "../core/find.ts";
import { element } from "./element.ts";

const MOST = 8;
const LIST_ID = "found";

export interface SearchBox {
  readonly focus: () => void;
  readonly dispose: Dispose;
}

export function mountSearchBox(host: HTMLElement, { scene, chosen, outcome }: Desk): SearchBox {
  const all = findables(scene);
  const box = element("input", {
    type: "search", class: "search-box", placeholder: "Code, river, district", autocomplete: "off", spellcheck: "false",
    role: "combobox", "aria-label": "Find an offtake by code, label, river or district",
    "aria-expanded": "false", "aria-controls": LIST_ID, "aria-autocomplete": "list",
  });
  const list = element("ul", { id: LIST_ID, class: "found", role: "listbox", "aria-label": "Found offtakes" });
  const told = element("p", { class: "unseen", role: "status" });
  const nothing = element("p", { class: "found found-nothing" });
  list.hidden = true;
  nothing.hidden = true;
  const search = element("div", { class: "search" }, [box, list, nothing, told]);
  host.append(search);
  let found: readonly Found[] = [];
  let active = 0;

  function look(): void {
    found = find(all, box.value, outcome.now.order, MOST);
    active = 0;
    const asked = box.value.trim() !== "";
    list.replaceChildren(...found.map(option));
    list.hidden = !found.length;
    nothing.hidden = !asked || found.length > 0;
    nothing.textContent = nothing.hidden ? "" : `No offtake, river or district is called “${box.value.trim()}”.`;
    told.textContent = asked ? nothing.textContent || `${found.length} found` : "";
    box.setAttribute("aria-expanded", String(!list.hidden));
    mark();
  }

  function option({ row, by }: Found, place: number): HTMLElement {
    return element("li", { id: `${LIST_ID}-${place}`, role: "option", "data-place": place }, [
      element("span", { class: "found-code" }, [scene.offtakes.offtake_id[row] ?? ""]),
      element("span", { class: "found-by" }, [by]),
    ]);
  }

  function mark(): void {
    [...list.children].forEach((child, place) => child.setAttribute("aria-selected", String(place === active)));
    if (found.length) box.setAttribute("aria-activedescendant", `${LIST_ID}-${active}`);
    else box.removeAttribute("aria-activedescendant");
  }

  function close(): void {
    box.value = "";
    look();
  }

  function choose(place: number): void {
    const one = found[place];
    if (!one) return;
    close();
    chosen.select(one.row, "search");
  }

  const dispose = together([
    listen(box, "input", look),
    listen(box, "focusout", (event) => {
      if (!search.contains(event.relatedTarget as Node | null)) {
        list.hidden = true;
        nothing.hidden = true;
        box.setAttribute("aria-expanded", "false");
      }
    }),
    listen(box, "focusin", look),
    listen(box, "keydown", (event) => {
      const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      if (step && found.length) active = (active + step + found.length) % found.length;
      else if (event.key === "Enter") choose(active);
      else if (event.key === "Escape" && box.value) close();
      else return;
      event.preventDefault();
      mark();
    }),
    listen(list, "pointerdown", (event) => event.preventDefault()),
    listen(list, "click", (event) => {
      const place = (event.target as Element).closest<HTMLElement>("[data-place]")?.dataset["place"];
      if (place !== undefined) choose(Number(place));
    }),
    () => search.remove(),
  ]);
  return { dispose, focus: () => box.focus() };
}
