// On a phone, legend and data lines are folded behind one button; on a desk, where both have room, the
// button is not shown.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "./element.ts";

/** `page` holds the legend within `host`, and the head with its data lines. */
export function mountLegendFold(host: HTMLElement, page: HTMLElement): Dispose {
  const button = element("button", { type: "button", class: "strip-button legend-button", "aria-expanded": "false" }, ["Legend"]);
  host.append(button);
  return together([
    listen(button, "click", () => {
      const open = page.classList.toggle("legend-open");
      button.setAttribute("aria-expanded", String(open));
    }),
    () => {
      page.classList.remove("legend-open");
      button.remove();
    },
  ]);
}
