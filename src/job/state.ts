import type { Mix, Step } from '../procedure/model.ts';
import type { Plan } from '../procedure/plan.ts';
import type { CalculatedBy } from './verb-spec.ts';

/** Who and when; `when` is the time that rules use (it equals `at` unless the person said otherwise). */
export interface Stamp {
  readonly entry: string;
  readonly at: string;
  readonly when: string;
  readonly by: string;
  /** The clock was in doubt then. */
  readonly doubtful?: true;
}

/** A value that was struck by a correction: it stays, with its time and person. */
export interface Struck extends Stamp {
  readonly value: string;
  readonly calculated?: CalculatedBy;
  /** Why it was struck, by whom and when. */
  readonly reason: string;
  readonly struckBy: string;
  readonly struckAt: string;
}

/** One taking of a reading. Its verdict is never stored: it is decided anew wherever it is needed. */
export interface Try extends Stamp {
  readonly number: number;
  readonly position?: string;
  readonly n: number;
  /** As typed, or as last corrected. */
  readonly value: string;
  /** How it was calculated, where nobody read it off anything. */
  readonly calculated?: CalculatedBy;
  readonly reason?: string;
  readonly tool?: string;
  /** What the build said of the individual tool's uncertainty then, where the reading is guarded. */
  readonly uncertainty?: Readonly<Record<string, string>>;
  readonly struck: readonly Struck[];
  /** The entry that made this taking a thing of the past (rework, undo). */
  readonly superseded?: string;
}

export interface FastenerAct extends Stamp {
  readonly fastener: number;
  readonly torque?: string;
  readonly fingerTight?: string;
  readonly past?: string;
  readonly drag?: string;
  readonly tool?: string;
  readonly mark: boolean;
  readonly struck: readonly Struck[];
  readonly superseded?: string;
}

export interface Batch extends Stamp {
  /** `B-1`, numbered for the build. */
  readonly batch: string;
  readonly step: string;
  readonly weights: Readonly<Record<string, string>>;
  readonly temperature?: string;
  readonly lots: Readonly<Record<string, string>>;
  readonly inRatio: boolean;
  readonly with: readonly string[];
  readonly discarded?: Stamp & { readonly because: string };
  /** Present where the mix owes a sample. */
  readonly sample?: { readonly id: string; readonly broken?: Broken };
  readonly struck: readonly Struck[];
  /** What it was mixed to, where a later page has another ratio. */
  readonly mixedTo?: Mix;
  readonly superseded?: string;
}

export interface Broken extends Stamp {
  readonly result: 'held' | 'failed';
  readonly remark?: string;
}

export interface StepState {
  readonly state: 'todo' | 'done' | 'skipped';
  readonly begun?: Stamp & { readonly explicit: boolean };
  readonly finished?: Stamp;
  readonly with: readonly string[];
  /** Everybody who performed here, in any pass. */
  readonly performers: readonly string[];
  /** The last performing act. */
  readonly last?: Stamp;
  /** Hash of the last entry that touched this step or, at a hold, its findings. */
  readonly touched?: { readonly hash: string; readonly order: number };
  readonly skip?: Stamp & { readonly because: string; readonly before: string; readonly tag: string };
  readonly reopened: readonly (Stamp & { readonly because: string })[];
}

export interface Look extends Stamp {
  readonly kind: 'release' | 'refuse' | 'reinspect' | 'invite';
  /** Whose look it is: `by`, or who signed the answer that `by` carried in. */
  readonly person: string;
  readonly remark?: string;
  readonly remote: boolean;
  /** By one who performed what is inspected; never shown as independent. */
  readonly self: boolean;
  readonly who?: string;
  readonly how?: string;
  readonly findings: readonly number[];
  /** The signed answer, as text, and its signature. */
  readonly answer?: string;
  readonly signature?: string;
  readonly voided?: string;
}

export interface Finding extends Stamp {
  readonly number: number;
  readonly step: string;
  readonly person: string;
  readonly text: string;
  readonly answers: readonly (Stamp & { readonly remark: string })[];
  readonly closed?: Stamp;
}

export interface Departure extends Stamp {
  readonly code: string;
  readonly says: string;
  readonly did: string;
  readonly because: string;
  readonly agreed?: string;
  /** The step where it overruled a refusal. */
  readonly step?: string;
}

export type DispositionKind = 'rework' | 'repair' | 'use-as-is' | 'scrap' | 'ask';

export interface Disposition extends Stamp {
  readonly on: string;
  readonly step?: string;
  readonly kind: DispositionKind;
  readonly reason: string;
  readonly acceptedBy?: string;
  /** SHA-256 of the letter: "by letter, not signed here". */
  readonly letter?: string;
  /** What it covers: `ENTRY=value` of each value, so that a later value is not covered. */
  readonly covers: readonly string[];
}

export interface LooseItem extends Stamp {
  /** `T-1`, numbered for the build. */
  readonly tag: string;
  readonly item: string;
  readonly step?: string;
  readonly count: number;
  readonly left: string;
  readonly because: string;
  readonly before: string;
  readonly closings: readonly (Stamp & { readonly count: number })[];
  /** A step left for later. */
  readonly skipped: boolean;
  readonly superseded?: string;
}

export interface Closing extends Stamp {
  readonly tag: string;
  readonly item: string;
  readonly count: number;
  /** How many stay open after this. */
  readonly left: number;
  readonly superseded?: string;
}

export interface Photo extends Stamp {
  readonly photo: string;
  readonly step?: string;
  /** SHA-256 and extension of the attachment. */
  readonly sha256: string;
  readonly file: string;
  readonly superseded?: string;
}

export interface LotNamed extends Stamp {
  readonly material: string;
  readonly number: string;
  readonly part?: string;
  readonly made?: string;
  readonly useBy?: string;
}

export interface ShopEntry extends Stamp {
  readonly temperature?: string;
  readonly surface?: string;
  readonly humidity?: string;
  readonly struck: readonly Struck[];
}

export interface Park extends Stamp {
  readonly because: string;
  readonly waitsFor: string;
  readonly state: string;
  readonly where: string;
  readonly ended?: Stamp & { readonly arrived?: string };
}

export interface Interruption extends Stamp {
  readonly resumed?: Stamp & { readonly rechecked: readonly string[] };
}

export interface Said extends Stamp {
  readonly text: string;
  /** The adviser, for advice. */
  readonly from?: string;
  readonly step?: string;
}

/** The job follows another revision from here on. */
export interface Move extends Stamp {
  readonly revision: string;
  /** Of the text that it follows now. */
  readonly sha256: string;
  readonly from: { readonly revision: string; readonly sha256: string };
  /** What it followed before. */
  readonly before: Plan;
  /** Ids that a person said are the same thing: old → new. */
  readonly renamed: Readonly<Record<string, string>>;
  /** Finished steps that did not stand by the new page. */
  readonly reopened: readonly string[];
}

export type ResolutionKind = 'comply' | 'not-applicable' | 'record-only';

/** What the builder decided about a change that a revision brings, or about a bulletin. */
export interface Resolution extends Stamp {
  /** The step, the reading or the bulletin, as named. */
  readonly on: string;
  readonly step?: string;
  readonly kind: ResolutionKind;
  readonly reason?: string;
  readonly revision: string;
  /** Of the text of the revision. */
  readonly sha256: string;
  /** The changes decided, each by its place: `down down limits`. */
  readonly covers: readonly string[];
}

/** One entry of the job in brief: what the timeline and the record list. */
export interface Logged extends Stamp {
  readonly type: string;
  readonly hash: string;
  readonly step?: string;
  readonly also: readonly string[];
}

export interface JobState {
  readonly id: string;
  readonly procedure: string;
  readonly revision: string;
  /** Of the procedure's exact text. */
  readonly sha256: string;
  readonly side?: string;
  readonly plan: Plan;
  readonly started: Stamp;
  readonly steps: Readonly<Record<string, StepState>>;
  readonly tries: Readonly<Record<string, readonly Try[]>>;
  readonly fasteners: Readonly<Record<string, readonly FastenerAct[]>>;
  readonly batches: readonly Batch[];
  readonly looks: Readonly<Record<string, readonly Look[]>>;
  readonly findings: readonly Finding[];
  readonly departures: readonly Departure[];
  readonly dispositions: readonly Disposition[];
  readonly loose: readonly LooseItem[];
  /** Loose items that this job closed, its own or another job's. */
  readonly closings: readonly Closing[];
  readonly photos: readonly Photo[];
  readonly lots: readonly LotNamed[];
  /** Kind of tool → the individual in use. */
  readonly tools: Readonly<Record<string, string>>;
  readonly shop: readonly ShopEntry[];
  readonly parks: readonly Park[];
  readonly interruptions: readonly Interruption[];
  readonly remarks: readonly Said[];
  /** Oldest first. */
  readonly moves: readonly Move[];
  readonly resolutions: readonly Resolution[];
  /** Steps of a new page that the builder decided are not done here. */
  readonly laidAside: readonly string[];
  /** Steps, or what is left of them, of earlier revisions in which something was entered. */
  readonly former: readonly Step[];
  /** Who lends a hand since the last interruption. */
  readonly helpers: readonly string[];
  readonly log: readonly Logged[];
  readonly completed?: Stamp;
  /** The entry that opened it again after completion. */
  readonly reopened?: Stamp;
}
