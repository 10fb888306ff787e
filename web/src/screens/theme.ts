// The page wears the theme of the trial.
import type { Dispose } from "../core/dispose.ts";
import { together } from "../core/dispose.ts";
import type { Trial } from "../core/trial.ts";

export function keepTheme(trial: Trial): Dispose {
  const { dataset } = document.documentElement;
  const wear = (): void => {
    if (dataset["theme"] !== trial.now.theme) dataset["theme"] = trial.now.theme;
  };
  wear();
  return together([trial.onChange(wear), () => delete dataset["theme"]]);
}
