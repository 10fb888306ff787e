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

/** `caseId` is a case that can be read in print, though not opened. */
export function mountFailure(host: HTMLElement, message: string, again: () => void, caseId = ""): Dispose {
  const button = element("button", { type: "button", class: "again" }, ["Try again"]);
  button.addEventListener("click", again);
  const failure = element("main", { class: "waiting" }, [
    element("h1", {}, ["The catchment could not be shown"]),
    element("p", { role: "alert" }, [message]),
    ...(caseId ? [element("p", {}, [element("a", { href: `/print/fund/${encodeURIComponent(caseId)}` }, ["Read the case in print"])])] : []),
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
