// Instead of the page, for somebody the service does not know yet.
import type { Dispose } from "../core/dispose.ts";
import look from "../look/sign_in.css" with { type: "text" };
import type { Me } from "../wire/me.ts";
import { drawing } from "./drawing.ts";
import { dress } from "./dress.ts";
import { element } from "./element.ts";
import { makeSignInForm } from "./sign_in_form.ts";

export function mountSignIn(host: HTMLElement, { ways }: Me, signedIn: () => void): Dispose {
  dress(look);
  const { dataset } = document.documentElement;
  if (new URLSearchParams(location.hash.slice(1)).get("t") === "projector") dataset["theme"] = "projector";
  const form = makeSignInForm({ ways, name: "", beside: false, done: signedIn, more: [] });
  const screen = element("main", { class: "sign-in" }, [
    rivers(),
    element("div", { class: "sign-in-card" }, [
      element("p", { class: "brand" }, [element("span", { class: "brand-mark", "aria-hidden": "true" }), element("span", { class: "brand-name" }, ["Slackwater"])]),
      element("h1", {}, ["Sign in"]),
      form.element,
      element("p", { class: "form-hint" }, ["No account, or the password forgotten? An admin of this place adds people and gives new passwords."]),
    ]),
  ]);
  host.replaceChildren(screen);
  document.title = "Sign in – Slackwater";
  form.focus();
  return () => {
    form.dispose();
    screen.remove();
    delete dataset["theme"];
  };
}

/** No river there is: lines that run together, for calm. */
const LINES: readonly (readonly [path: string, width: number])[] = [
  ["M-20 150C180 210 230 70 400 150S640 330 820 300s210 90 400 60", 7],
  ["M160 -20C150 60 250 60 300 118", 3],
  ["M-20 420C140 360 220 470 380 420s190 -150 330 -116", 5],
  ["M560 620C520 540 640 500 640 420s60 -90 110 -112", 3],
  ["M1060 -20C1010 60 1080 120 1010 190S960 300 930 318", 4],
  ["M760 -20C740 50 690 60 700 130s60 100 62 172", 2],
];

function rivers(): SVGElement {
  return drawing("svg", { class: "sign-in-rivers", viewBox: "0 0 1200 600", preserveAspectRatio: "xMidYMid slice", "aria-hidden": "true" },
    LINES.map(([d, width]) => drawing("path", { d, "stroke-width": width })),
  );
}
