// What a meeting tells its pages: what stays as long as it lasts, and what is shown now.

export const STEPS = ["river", "problem", "screens", "list", "room", "choice"] as const;
export type Step = (typeof STEPS)[number];
export type State = "inside" | "outside" | "not this round";
export type Weights = Readonly<Record<string, number>>;

export interface Criterion {
  readonly name: string;
  readonly label: string;
  readonly meaning: string;
}

export interface MapRiver {
  readonly path: string;
  readonly width_mm: number;
  readonly name?: string;
}

export interface MapTown {
  readonly name: string;
  readonly size: number;
  readonly x_mm: number;
  readonly y_mm: number;
}

export interface MeetingMap {
  readonly width_mm: number;
  readonly height_mm: number;
  readonly rivers: readonly MapRiver[];
  readonly towns: readonly MapTown[];
  readonly scale: { readonly words: string; readonly mm: number } | null;
}

export interface Offtake {
  readonly code: string;
  readonly x_mm: number;
  readonly y_mm: number;
  readonly rank: number;
  readonly state: State;
  /** Five ordered steps, 4 the highest. */
  readonly risk: number;
  readonly loss_share: number;
  readonly cost_band: string;
  readonly reach: string;
  readonly kind: "pump" | "channel";
  readonly by_score: boolean;
  readonly best: boolean;
}

export interface WayFacts {
  readonly inside: number;
  readonly benefit_share: number;
  /** How far the best that there may be can lie above it; 0 where it is proven. */
  readonly gap?: number;
}

export interface Facts {
  readonly river_km: number;
  readonly offtakes: number;
  readonly pumps: number;
  readonly channels: number;
  readonly loss_words: string;
  /** The fewest offtakes that make up half of the loss. */
  readonly half_of_loss_at: number;
  readonly inside: number;
  readonly benefit_share: number;
  readonly by_score: WayFacts;
  readonly best: WayFacts;
}

/** What does not change as long as the meeting lasts. */
export interface Meeting {
  readonly code: string;
  readonly case_name: string;
  readonly catchment: string;
  readonly way: "By score" | "Best set";
  readonly budget: number;
  readonly currency: string;
  readonly opened_at: string;
  readonly ends_at: string;
  readonly stamp: string;
  readonly join: string;
  readonly join_short: string;
  readonly criteria: readonly Criterion[];
  readonly weights: Weights;
  readonly groups: readonly string[];
  readonly least_tried: number;
  readonly map: MeetingMap;
  /** By rank. */
  readonly offtakes: readonly Offtake[];
  readonly facts: Facts;
  readonly steps: readonly { readonly step: Step; readonly title: string; readonly sentence: string }[];
}

export interface Spread {
  readonly name: string;
  readonly label: string;
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

export interface Turn {
  readonly code: string;
  readonly count: number;
  /** "" where no one criterion tells those who fund it from the others. */
  readonly on: string;
  readonly more: boolean;
  readonly words: string;
}

export interface RoomFigures {
  readonly weights: readonly Spread[];
  readonly stays: readonly string[];
  /** The first of them, those nearest half. */
  readonly turns: readonly Turn[];
  readonly turns_count: number;
  /** Offtakes that are in or out for one or two phones alone; which ones is told nowhere. */
  readonly few: number;
  readonly inside_count: number;
}

export interface Trial {
  readonly weights: Weights;
  readonly joins: readonly string[];
  readonly leaves: readonly string[];
  readonly inside: number;
  readonly benefit_share: number;
}

/** What was agreed, as it was when it was agreed. */
export interface AgreedShown {
  readonly what: "" | "case" | "trial";
  readonly words: string;
  readonly at: string;
  readonly inside_count: number;
  readonly benefit_share: number;
  readonly inside: readonly string[];
  /** Of an agreed trial; null for the case. */
  readonly weights: Weights | null;
  /** The trial shown now has the agreed weights. */
  readonly is_trial_shown: boolean;
}

/** What the wall shows at a moment. */
export interface Now {
  readonly at: string;
  readonly step: Step;
  readonly held: boolean;
  readonly door_open: boolean;
  readonly ended: boolean;
  readonly phones: number;
  readonly tried: number;
  readonly sentence: string;
  readonly room: RoomFigures | null;
  readonly trial: Trial | null;
  readonly agreed: AgreedShown | null;
}

export interface PlaceMarked {
  readonly x_mm: number;
  readonly y_mm: number;
  readonly words: string;
}

/** What the facilitator alone is told. */
export interface Lead extends Omit<Now, "agreed"> {
  readonly wall: Now;
  readonly present: number;
  readonly groups: Readonly<Record<string, number>>;
  readonly unsaid: number;
  readonly places: readonly PlaceMarked[];
  readonly dropped: number;
  /** `what` is "" while nothing is agreed; the revision goes up with every change. */
  readonly agreed: AgreedShown & { readonly left_open: string; readonly revision: number };
  readonly shown: readonly { readonly at: string; readonly step: Step }[];
  readonly minutes: boolean;
}
