// What is said of a case in a line.
import type { CaseHead } from "../wire/cases.ts";
import { WAY_WORDS } from "./fund_words.ts";
import { moment, percent, shortMoney } from "./numbers.ts";
import { offtakeCount } from "./sentences.ts";

/** "Best set: 41 offtakes, 2.48 M of 2.50 M CDL, 62 % of the loss avoided". */
export function caseGlance({ way, inside_count: count, spent, budget, benefit_share: share }: CaseHead, currency: string): string {
  const unit = currency ? ` ${currency}` : "";
  return `${WAY_WORDS[way]}: ${offtakeCount(count).toLowerCase()}, ${shortMoney(spent)} of ${shortMoney(budget)}${unit}, ${percent(share)} of the loss avoided`;
}

/** "Saved 29 Nov 2026, 15:52 by lead; shared 29 Nov 2026, 16:00; data version abc". */
export function caseStamp({ made_at: made, by, shared_at: shared, data_version: version, on_present_data: present }: CaseHead): string {
  return [
    `Saved ${moment(made)} by ${by}`,
    ...(shared ? [`shared ${moment(shared)}`] : []),
    `data version ${version}${present ? "" : ", older than the present"}`,
  ].join("; ");
}
