// The roles to choose from, each with what it allows.
import { ROLE_WORDS } from "../core/role_words.ts";
import { type Role, ROLES } from "../wire/me.ts";
import { element } from "./element.ts";

export interface RoleBoxes {
  readonly element: HTMLFieldSetElement;
  readonly chosen: () => Role[];
  readonly refuse: (words: string) => void;
}

export function makeRoleBoxes(id: string, had: readonly Role[]): RoleBoxes {
  const wrong = element("p", { id: `${id}-wrong`, class: "form-wrong", role: "alert" });
  const boxes = ROLES.map((role) => {
    const box = element("input", { type: "checkbox", value: role, "aria-describedby": `${id}-${role}` });
    box.checked = had.includes(role);
    return { role, box };
  });
  const lines = boxes.map(({ role, box }) =>
    element("div", { class: "role-line" }, [
      element("label", { class: "form-check" }, [box, ROLE_WORDS[role][0]]),
      element("span", { id: `${id}-${role}`, class: "form-hint" }, [ROLE_WORDS[role][1]]),
    ]),
  );
  const all = element("fieldset", { class: "role-boxes" }, [element("legend", {}, ["Roles"]), ...lines, wrong]);
  all.addEventListener("change", () => (wrong.textContent = ""));
  return {
    element: all,
    chosen: () => boxes.filter(({ box }) => box.checked).map(({ role }) => role),
    refuse: (words) => {
      wrong.textContent = words;
      if (words) boxes[0]?.box.focus();
    },
  };
}

export const NO_ROLE = "Tick one role at least.";
