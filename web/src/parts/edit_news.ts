// One calm line over the map about the data: saved and being worked out, shown now with what moved, or
// changed by somebody else with a button that shows it.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "./element.ts";

export interface News {
  /** `button` leads on; "" shows none. It stays until it is shut or another comes. */
  readonly say: (words: string, button?: string, act?: () => void) => void;
  readonly now: () => string;
  readonly dispose: Dispose;
}

export function mountNews(host: HTMLElement): News {
  const words = element("p", {});
  const go = element("button", { type: "button", class: "strip-button" });
  const shut = element("button", { type: "button", class: "news-close", "aria-label": "Close this line" }, ["×"]);
  const live = element("div", { role: "status" }, [words]);
  const news = element("div", { class: "news" }, [live, go, shut]);
  let act: (() => void) | undefined;
  news.classList.add("news-empty");
  host.append(news);
  const say: News["say"] = (told, button = "", then) => {
    if (words.textContent !== told) words.textContent = told;
    [go.hidden, go.textContent, act] = [button === "", button, then];
    news.classList.toggle("news-empty", told === "");
  };
  say("");
  const dispose = together([
    listen(go, "click", () => act?.()),
    listen(shut, "click", () => say("")),
    () => news.remove(),
  ]);
  return { say, now: () => words.textContent ?? "", dispose };
}
