// What outlives a drawer that is shut and a new edition of the data: what was typed, what was heard of the
// offers, and what is waited for.
import type { Door } from "../core/data_door.ts";
import { OffersKept } from "../core/offers_kept.ts";
import type { Kept } from "../parts/edit_form.ts";
import { KeptForms } from "../parts/edit_kept.ts";
import type { FieldTold } from "../wire/edits.ts";
import { fetchOffers } from "../wire/offers.ts";
import type { Awaited } from "./data_editions.ts";

export interface Carried {
  /** By code. */
  readonly drafts: Map<string, Kept>;
  readonly forms: KeptForms;
  readonly offers: OffersKept;
  /** Of offtakes; empty until they are known. */
  fields: readonly FieldTold[];
  awaited: Awaited | null;
  /** Open as the page before went. */
  door: Door | null;
}

export const carried: Carried = {
  drafts: new Map(),
  forms: new KeptForms(),
  offers: new OffersKept(fetchOffers),
  fields: [],
  awaited: null,
  door: null,
};
