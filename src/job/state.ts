import type { Mix, Step } from '../procedure/model.ts';
import type { Plan } from '../procedure/plan.ts';
import type { GateSheet } from './gate-sheet.ts';
import type { CalculatedBy } from './verb-spec.ts';
import type { Stamp, Struck, Breach, Pending } from './stamp.ts';
import type { Look, Finding, Departure, Disposition, Resolution } from './judged.ts';

/** One taking of a reading. Its verdict is never stored, because it is decided anew wherever it is needed. */
export interface Try extends Stamp, Pending {
  /** The number of the try, from 1. */
  readonly number: number;
  readonly position?: string;
  /** Which value of the position it is, from 1. */
  readonly n: number;
  /** As typed, or as last corrected, with its unit. */
  readonly value: string;
  /** How the value was calculated, where nobody read it from a tool. */
  readonly calculated?: CalculatedBy;
  readonly reason?: string;
  readonly tool?: string;
  /** What the build said about the tool's uncertainty at that time, where the reading is guarded. */
  readonly uncertainty?: Readonly<Record<string, string>>;
  /** The entry after which this try no longer counts (rework, undo). */
  readonly superseded?: string;
}

export interface FastenerAct extends Stamp, Pending {
  /** Counted from 1. */
  readonly fastener: number;
  readonly torque?: string;
  readonly fingerTight?: string;
  readonly past?: string;
  readonly drag?: string;
  readonly tool?: string;
  readonly mark: boolean;
  /** Why it was tightened again. */
  readonly reason?: string;
  readonly superseded?: string;
}

export interface Batch extends Stamp, Pending {
  /** `B-1`, numbered for the whole build. */
  readonly batch: string;
  readonly step: string;
  readonly weights: Readonly<Record<string, string>>;
  readonly temperature?: string;
  readonly lots: Readonly<Record<string, string>>;
  /** The individual scale that weighed it. */
  readonly tool?: string;
  readonly inRatio: boolean;
  readonly with: readonly string[];
  readonly discarded?: Stamp & { readonly because: string };
  /** Present where the batch owes a sample. */
  readonly sample?: {
    readonly id: string;
    readonly broken?: Broken;
    /** Breakings that a rework set aside, oldest first: the sample is owed again. */
    readonly earlier?: readonly Broken[];
  };
  /** The page to which it was mixed, where a later page has another ratio. */
  readonly mixedTo?: Mix;
  readonly superseded?: string;
}

export interface Broken extends Stamp, Pending {
  readonly result: 'held' | 'failed';
  readonly remark?: string;
}

export interface StepState {
  readonly state: 'todo' | 'done' | 'skipped';
  readonly begun?: Stamp & { readonly explicit: boolean };
  /** What was shown before this permanent step, by the entry that opened it. */
  readonly ahead?: Stamp & { readonly shown: readonly string[] };
  /** With the gate sheet, where the step passes a gate, and with what the person added. */
  readonly finished?: Stamp & { readonly sheet?: GateSheet; readonly reason?: string };
  /**
   * When what the step makes was last there: its last finish, also while the step is open again. Absent once the work is taken apart. What
   * a step covered stays covered until then.
   */
  readonly made?: Stamp;
  readonly with: readonly string[];
  /** Everybody who performed this step, also before a rework. */
  readonly performers: readonly string[];
  /** Those of them who acted themselves; then those whom an entry named, by the entry. A correction of names needs both. */
  readonly acted: readonly string[];
  readonly named: readonly { readonly entry: string; readonly names: readonly string[] }[];
  /** When somebody last performed on the step. */
  readonly last?: Stamp;
  /**
   * Hash of the last entry that touched this step or, at a hold, its findings. `order` is how long the job's log was then: the larger, the
   * later.
   */
  readonly touched?: { readonly hash: string; readonly order: number };
  readonly skip?: Stamp & {
    readonly because: string;
    readonly before: string;
    readonly tag: string;
    /** The builder closed the tag without the work: the step is not done, and never will be unless somebody takes it up again. */
    readonly notDone?: Stamp & { readonly because: string };
  };
  readonly reopened: readonly (Stamp & { readonly because: string })[];
}

/** A photo that belongs to an entry of another kind: its file's own name, and the hash under which it is kept. */
export interface KeptPhoto {
  readonly file: string;
  readonly sha256: string;
}

export interface LooseItem extends Stamp {
  /** `T-1`, numbered for the whole build. */
  readonly tag: string;
  readonly item: string;
  readonly step?: string;
  /** How many were left. */
  readonly count: number;
  readonly left: string;
  readonly because: string;
  readonly before: string;
  /** Where it is on the aircraft, as typed. */
  readonly place?: string;
  readonly photo?: KeptPhoto;
  readonly closings: readonly TagClosing[];
  /** A step that was left for later again, before it was finished, oldest first. */
  readonly leftAgain?: readonly (Stamp & { readonly because: string; readonly before: string })[];
  /** True for a step that was left for later. */
  readonly skipped: boolean;
  /** The entry by which the step that left it was taken apart. The item stays open until it is closed by count. */
  readonly redone?: string;
}

/** One closing of a loose item, by count. */
export interface TagClosing extends Stamp {
  /** How many this closing closed. */
  readonly count: number;
  /** How many it ended because they no longer exist, with the reason. */
  readonly gone?: number;
  readonly reason?: string;
  /** The entry by which the step that closed it was taken apart. What it had closed is open again. */
  readonly superseded?: string;
}

export interface Closing extends TagClosing {
  readonly tag: string;
  readonly item: string;
  /** How many stay open after this closing. */
  readonly left: number;
}

export interface Photo extends Stamp, Pending {
  readonly photo: string;
  readonly step?: string;
  /** SHA-256 and extension of the attachment. */
  readonly sha256: string;
  readonly file: string;
  readonly superseded?: string;
}

/** An individual tool was taken into use for its kind. */
export interface ToolNamed extends Stamp {
  readonly kind: string;
  readonly tool: string;
}

export interface LotNamed extends Stamp {
  readonly material: string;
  readonly number: string;
  readonly part?: string;
  readonly made?: string;
  readonly useBy?: string;
  /** The days of the stock, where those of the label are earlier. The earlier use-by counts. */
  readonly stockMade?: string;
  readonly stockUseBy?: string;
}

/** A lot that was taken in hand at a step: one of the materials that the step names, besides those of a mix. */
export interface LotTaken extends Stamp {
  readonly step: string;
  readonly material: string;
  /** The entry that named the lot. */
  readonly lot: string;
  /** The entry after which the work no longer counts: it was taken apart or done anew. */
  readonly superseded?: string;
}

/** A part that was named by its serial number. */
export interface PartFitted extends Stamp {
  readonly part: string;
  readonly serial: string;
  readonly lot?: string;
  /** The step where it goes in; absent where no step names the part. */
  readonly step?: string;
  readonly superseded?: string;
}

export interface ShopEntry extends Stamp {
  readonly temperature?: string;
  readonly surface?: string;
  readonly humidity?: string;
}

export interface Park extends Stamp {
  readonly because: string;
  readonly waitsFor: string;
  readonly state: string;
  readonly where: string;
  readonly photo?: KeptPhoto;
  readonly ended?: Stamp & { readonly arrived?: string };
}

export interface Interruption extends Stamp {
  readonly resumed?: Stamp & { readonly rechecked: readonly string[] };
}

/** Taking a job up again although no interruption and no parking was open. */
export interface TakenUp extends Stamp {
  readonly rechecked?: readonly string[];
  readonly arrived?: string;
}

export interface Said extends Stamp {
  readonly text: string;
  /** The adviser, for advice. */
  readonly from?: string;
  readonly step?: string;
}

/** A job was put on another revision. */
export interface Move extends Stamp {
  readonly revision: string;
  /** SHA-256 of the text that the job follows from then on. */
  readonly sha256: string;
  readonly from: { readonly revision: string; readonly sha256: string };
  /** The plan that the job followed before. */
  readonly before: Plan;
  /** Ids that a person said are the same thing, by the old id. */
  readonly renamed: Readonly<Record<string, string>>;
  /** Finished steps that did not meet the new page. */
  readonly reopened: readonly string[];
}

/** One entry of the job in brief, for the timeline and the record. */
export interface Logged extends Stamp {
  readonly type: string;
  readonly hash: string;
  /** The job that made the entry, where it is another one: it closed a loose item of this job. */
  readonly job?: string;
  readonly step?: string;
  readonly also: readonly string[];
}

export interface JobState {
  readonly id: string;
  readonly procedure: string;
  readonly revision: string;
  /** SHA-256 of the procedure's exact text. */
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
  /** What was done although a rule refused it, oldest first. */
  readonly breaches: readonly Breach[];
  readonly loose: readonly LooseItem[];
  /** Loose items that this job closed, its own or those of another job. */
  readonly closings: readonly Closing[];
  readonly photos: readonly Photo[];
  readonly lots: readonly LotNamed[];
  readonly taken: readonly LotTaken[];
  readonly fitted: readonly PartFitted[];
  readonly uses: readonly ToolNamed[];
  /** The individual tool in use, by its kind. */
  readonly tools: Readonly<Record<string, string>>;
  readonly shop: readonly ShopEntry[];
  readonly parks: readonly Park[];
  readonly interruptions: readonly Interruption[];
  readonly takenUp: readonly TakenUp[];
  readonly remarks: readonly Said[];
  /** Oldest first. */
  readonly moves: readonly Move[];
  readonly resolutions: readonly Resolution[];
  /** Steps of a new page that the builder decided not to do in this job. */
  readonly laidAside: readonly string[];
  /** Steps of earlier revisions, or parts of them, in which something was entered and which the plan no longer has. */
  readonly former: readonly Step[];
  /** Who has been helping since the last interruption. */
  readonly helpers: readonly string[];
  readonly log: readonly Logged[];
  /** Everything that corrections struck, in the order of the corrections. */
  readonly struck: readonly Struck[];
  readonly completed?: Stamp;
  /** The entry that opened the job again after completion. */
  readonly reopened?: Stamp;
  /** The job was ended although its steps are not finished. Nothing is entered in it any more. */
  readonly withdrawn?: Stamp & { readonly because: string };
}
