// Light, sun or dark: chosen once, known again.

export const LOOKS = { light: "Light", sun: "Sun", dark: "Dark" } as const;
export type Look = keyof typeof LOOKS;

const KEY = "slackwater-field-look";

export function lookNow(): Look {
  const kept = localStorage.getItem(KEY);
  if (kept && kept in LOOKS) return kept as Look;
  return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
}

export function wear(look: Look): void {
  document.documentElement.dataset["look"] = look;
}

export function chooseLook(look: Look): void {
  localStorage.setItem(KEY, look);
  wear(look);
}
