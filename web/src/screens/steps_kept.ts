// Steps of undo outlive a reload: this tab keeps them, apart for every edition of the data, viewer and case.
import { type Dispose, together } from "../core/dispose.ts";
import { type Step, type Steps, stepsRead, stepsText } from "../core/history.ts";
import { paced } from "../core/paced.ts";
import type { Scene } from "../core/scene.ts";
import type { Undoing } from "../core/undoing.ts";

const REST_MS = 150;

export function keyOfSteps({ facts, offtakes }: Scene, caseId: string): string {
  return ["steps", facts.data_version, offtakes.viewer, caseId].join(" ");
}

export function keptSteps(key: string, like: Step): Steps | null {
  try {
    return stepsRead(sessionStorage.getItem(key), like);
  } catch {
    return null; // a browser that keeps nothing
  }
}

export function keepSteps(key: string, undoing: Undoing): Dispose {
  const keeping = paced(() => {
    try {
      sessionStorage.setItem(key, stepsText(undoing.steps));
    } catch {
      // they hold until the page is left
    }
  }, REST_MS);
  keeping.soon();
  addEventListener("pagehide", keeping.flush);
  return together([keeping.drop, () => removeEventListener("pagehide", keeping.flush), undoing.onChange(keeping.soon)]);
}
