// What is said instead of the page, or above it, when something is waited for or went wrong.
import type { Dispose } from "../core/dispose.ts";
import { element } from "./element.ts";

export function mountWaiting(host: HTMLElement): Dispose {
  const waiting = element("main", { class: "waiting" }, [
    element("h1", {}, ["Slackwater"]),
    element("p", { role: "status" }, ["Reading the catchment…"]),
  ]);
  host.replaceChildren(waiting);
  return () => waiting.remove();
}

export function mountFailure(host: HTMLElement, message: string, again: () => void): Dispose {
  const button = element("button", { type: "button", class: "again" }, ["Try again"]);
  button.addEventListener("click", again);
  const failure = element("main", { class: "waiting" }, [
    element("h1", {}, ["The catchment could not be shown"]),
    element("p", { role: "alert" }, [message]),
    button,
  ]);
  host.replaceChildren(failure);
  return () => failure.remove();
}

/** A line above the map: part of the page is missing, the rest stands. */
export function mountPartial(host: HTMLElement, message: string): Dispose {
  const line = element("p", { class: "partial", role: "status" }, [message]);
  host.append(line);
  return () => line.remove();
}
