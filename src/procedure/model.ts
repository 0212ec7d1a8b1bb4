import type { Limits } from '../quantity/limits.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { CalendarDuration, Duration } from '../quantity/time.ts';
import type { Unit } from '../quantity/units.ts';

/**
 * A procedure as the engine uses it: read from one file and checked, with its quantities and limits parsed.
 * Names follow the file's keys, in camel case. Everything here is plain, frozen data.
 */
export interface Procedure {
  readonly procedure: string;
  readonly title: string;
  readonly revision: string;
  readonly manual?: Manual;
  readonly purpose?: string;
  /** The sides; empty where the procedure has none. */
  readonly each: readonly string[];
  readonly after: readonly After[];
  readonly answers?: { readonly bulletin: string; readonly of: string };
  readonly strict: boolean;
  readonly takes?: Duration;
  /** People needed, the performer included; 1 where the file does not say. */
  readonly people: number;
  readonly gather: Gather;
  readonly charts: readonly Chart[];
  readonly warnings: readonly string[];
  readonly steps: readonly Step[];
}

export interface Manual {
  readonly document?: string;
  readonly section?: string;
  readonly revision?: string;
  readonly date?: string;
}

export interface After {
  readonly procedure: string;
  readonly notOlder?: CalendarDuration;
  readonly sameLot: boolean;
}

export interface Gather {
  readonly tools: readonly GatheredTool[];
  readonly materials: readonly GatheredMaterial[];
  readonly parts: readonly GatheredPart[];
  readonly shop?: ShopLimits;
}

export interface GatheredTool {
  /** The kind; the build names the individual. */
  readonly tool: string;
  readonly title?: string;
  readonly inDate: boolean;
}

export interface GatheredMaterial {
  readonly material: string;
  readonly title?: string;
  readonly lot: boolean;
  readonly inDate: boolean;
}

export interface GatheredPart {
  readonly part: string;
  readonly title?: string;
  readonly quantity?: number;
  readonly serial: boolean;
}

export interface ShopLimits {
  readonly temperature?: Limits;
  readonly humidity?: Limits;
  /** The least difference between the surface and the dew point. */
  readonly aboveDewPoint?: Limits;
  /** For how long an entered condition counts. */
  readonly notOlder?: Duration;
}

/** Straight lines between the points; no value outside them. */
export interface Chart {
  readonly chart: string;
  readonly of: readonly { readonly x: Quantity; readonly y: Quantity }[];
}

export interface Step {
  /** The id; with `for`, `dry-fit/bay-1`. */
  readonly step: string;
  /** The id as the file has it: `dry-fit`. */
  readonly base: string;
  /** As the file has it: the step is there once for each of these. In a plan each is a step of its own, and this is empty. */
  readonly for: readonly string[];
  /** In a plan: which of the step's `for` this one is. */
  readonly instance?: string;
  readonly title: string;
  readonly do?: string;
  readonly why?: string;
  readonly warnings: readonly string[];
  readonly cautions: readonly string[];
  readonly notes: readonly string[];
  readonly say?: string;
  readonly takes?: Duration;
  readonly wait?: Duration;
  /** The longest interval: the step is begun within this time of the finish of each of these steps (ids, expanded). */
  readonly noLaterThan?: { readonly after: readonly string[]; readonly time: Duration };
  readonly people?: number;
  /** Materials taken in hand here, besides those of a mix. */
  readonly materials: readonly string[];
  /** Parts that go in here, by their numbers. */
  readonly parts: readonly string[];
  readonly place?: string;
  readonly critical: boolean;
  readonly onlyIf?: { readonly reading: string; readonly is: Limits };
  readonly permanent: boolean;
  readonly sets: readonly string[];
  readonly proves: readonly string[];
  readonly reliesOn: readonly string[];
  readonly covers: readonly string[];
  readonly uncovers: readonly string[];
  readonly reaches: readonly string[];
  readonly gate?: string;
  /** Ids of mix steps (expanded): finished inside the pot life of all their batches. */
  readonly inPotLifeOf: readonly string[];
  /** Cure step ids (expanded): the stage must be reached in all of them. */
  readonly afterStage?: { readonly cures: readonly string[]; readonly stage: string };
  /** Step id (expanded). */
  readonly backTo?: string;
  readonly again?: Again;
  readonly readings: readonly Reading[];
  readonly results: readonly Result[];
  readonly tighten?: Tighten;
  readonly mix?: Mix;
  readonly cure?: Cure;
  readonly break?: Break;
  readonly hold?: Hold;
  readonly loose: readonly LoosePart[];
  /** Ids of loose items that this step closes. */
  readonly closes: readonly string[];
  readonly photos: readonly PhotoPart[];
}

/** The parts of work that a step may have, and where a step holds each. A room that knows them has a file of each name. */
export interface PartSlots {
  readonly reading: 'readings';
  readonly result: 'results';
  readonly tighten: 'tighten';
  readonly mix: 'mix';
  readonly cure: 'cure';
  readonly break: 'break';
  readonly hold: 'hold';
  readonly loose: 'loose';
  readonly photo: 'photos';
  readonly wait: 'wait';
}

export type PartName = keyof PartSlots;

/** What a step holds of one part; undefined or an empty list where it has none. */
export type PartIn<P extends PartName> = Step[PartSlots[P]];

export interface Again {
  readonly at: readonly string[];
  readonly every?: string;
  readonly count?: string;
}

interface ReadingBase {
  /** The id; with `for`, `gap/bay-1`. */
  readonly reading: string;
  readonly ask?: string;
  readonly tool?: string;
  readonly source?: string;
  readonly positions: readonly string[];
  /** How many times the value is taken at each position; 1 where the file does not say. */
  readonly times: number;
  readonly tries?: number;
  readonly blind: boolean;
}

export interface QuantityReading extends ReadingBase {
  readonly kind: 'quantity';
  readonly unit: Unit;
  readonly limits?: Limits;
  readonly guarded: boolean;
  /** The largest difference between the sides. */
  readonly twin?: Limits;
}

/** A whole number of things. Its limits are in the unit `count`. */
export interface CountReading extends ReadingBase {
  readonly kind: 'count';
  readonly limits?: Limits;
}

export interface TextReading extends ReadingBase {
  readonly kind: 'text';
}

export interface ChoiceReading extends ReadingBase {
  readonly kind: 'choice';
  readonly choices: readonly string[];
  /** The choices that are within; all of them where the file does not say. */
  readonly accept: readonly string[];
}

export type Reading = QuantityReading | CountReading | TextReading | ChoiceReading;

export interface Result {
  readonly result: string;
  readonly calculation: string;
  /** Each input: a quantity or plain text, or the id of a reading or result above. */
  readonly from: Readonly<Record<string, ResultInput>>;
  readonly limits?: Limits;
  readonly source?: string;
}

export type ResultInput =
  | { readonly kind: 'quantity'; readonly quantity: Quantity }
  | { readonly kind: 'id'; readonly id: string }
  | { readonly kind: 'text'; readonly text: string };

export interface Tighten {
  readonly fasteners: number;
  readonly order: readonly number[];
  readonly torque?: Limits;
  /** `measured`: entered for every fastener; else a quantity or the id of a reading above. */
  readonly drag?: 'measured' | ResultInput;
  /** Length that the adapter adds, along the wrench; negative shortens. */
  readonly adapter?: Quantity;
  readonly wrench?: Quantity;
  readonly fingerTight?: Limits;
  readonly past?: Limits;
  readonly tries?: number;
  readonly never?: string;
  readonly tool?: string;
  readonly mark: boolean;
  readonly source?: string;
}

export interface Mix {
  readonly material: string;
  /** In the file's order; the first part is the base. Shares are decimals as text, so that they stay exact. */
  readonly ratio: readonly { readonly part: string; readonly share: string }[];
  readonly by: 'weight' | 'volume';
  /** Relative, of each part's own target; unit `%`. */
  readonly tolerance: Quantity;
  /** Limits on the sum of the parts. */
  readonly batch?: Limits;
  readonly potLife: readonly PotLifePoint[];
  readonly sample: boolean;
  /** The kind of scale or measure. */
  readonly tool?: string;
  readonly source?: string;
}

export interface PotLifePoint {
  readonly time: Duration;
  /** Absent in a bare `35 min`: good at any temperature. */
  readonly at?: Quantity;
}

export interface Cure {
  /** Mix step ids (expanded). */
  readonly of: readonly string[];
  /** Shortest first, as the file lists them. */
  readonly stages: readonly CureStage[];
  /** The stage that the step waits for. */
  readonly until: string;
  readonly floor: Quantity;
  readonly readingEvery?: Duration;
  readonly between: 'stated' | 'arrhenius';
  readonly source?: string;
}

export interface CureStage {
  readonly stage: string;
  /** Rising in temperature, falling in time. */
  readonly points: readonly { readonly time: Duration; readonly at: Quantity }[];
}

export interface Break {
  /** Mix step ids (expanded). */
  readonly of: readonly string[];
  readonly notBefore?: string;
}

export interface Hold {
  readonly kind: 'hold' | 'witness';
  readonly by: 'inspector' | 'designer' | 'witness';
  readonly lookFor: readonly string[];
  readonly remote: boolean;
  /** Expanded step ids; absent: everything since the last hold point. */
  readonly of?: readonly string[];
  /** The performer may look again after this; absent: never. */
  readonly self?: Duration;
}

export interface LoosePart {
  readonly item: string;
  readonly count: number;
  readonly left: string;
  readonly because: string;
  readonly before: string;
}

export interface PhotoPart {
  readonly photo: string;
  readonly show: string;
  readonly from?: string;
}
