import type { Draft } from 'immer';
import type { Refusal } from '../../fault/fault.ts';
import type { LoosePart, Mix, PhotoPart, Reading, Step, Tighten } from '../../procedure/model.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import type { Surroundings, ToolNow } from '../surroundings.ts';
import type { Slot } from '../values.ts';

/** What a step asks of one fastener. */
export type FastenerValue = 'torque' | 'turns by hand' | 'turns past finger-tight' | 'mark';

/**
 * Something that a person must still enter before the step can be finished. `what` names it for a person: `gap at root`. A cure, a wait and
 * a release are not entered, so they are not wanted in this sense; they refuse the finish instead.
 */
export type Wanted = { readonly what: string } & (
  | { readonly part: 'reading'; readonly reading: Reading; readonly slot: Slot }
  /** The result cannot be calculated yet. Nobody enters it; a value that it is calculated from is missing or cannot be used. */
  | { readonly part: 'result'; readonly result: string }
  | {
      readonly part: 'tighten';
      readonly tighten: Tighten;
      /** Counted from 1. */
      readonly fastener: number;
      readonly missing: readonly FastenerValue[];
    }
  | { readonly part: 'mix'; readonly mix: Mix }
  | { readonly part: 'break'; readonly batch: string; readonly sample: string }
  /** The invitation of the witness. */
  | { readonly part: 'hold'; readonly invite: true }
  | { readonly part: 'loose'; readonly leave: LoosePart }
  /** The id of a loose item that the step closes. */
  | { readonly part: 'loose'; readonly close: string }
  | { readonly part: 'photo'; readonly photo: PhotoPart }
);

/** The one value that something is about. All are absent where it is about the whole. */
export interface Which {
  /** Counted from 1. */
  readonly fastener?: number;
  readonly position?: string;
  /** Which value of the reading or position, from 1. */
  readonly n?: number;
}

/** A value that is outside its limits, or undecided; or what was done although a rule refused it. */
export interface Trouble extends Which {
  /** The id by which a disposition names it: of a reading, a result or a step. */
  readonly on: string;
  readonly step: string;
  /** The key by which a disposition covers this value, and not a later one in its place. */
  readonly key: string;
  readonly verdict: 'outside' | 'undecided' | 'refused';
  /** It is disposed of before it is tried again: a fastener above its upper limit. */
  readonly isFinal?: true;
  readonly what: string;
}

/** One thing that depends on a failed sample, on a tool that was found wrong, or on a lot or part that should not have been used. */
export interface Doubt extends Which {
  /** The id by which a disposition names it: of a reading, a step or a sample. */
  readonly on: string;
  readonly step: string;
  /** The key by which a disposition covers the doubt. */
  readonly key: string;
  readonly what: string;
  /** The reason without the thing itself: work built over the thing is in doubt for the same reason. */
  readonly because: string;
  /** A name for the reason, the same for everything that depends on it. */
  readonly cause: string;
  /** The batch, and the step where it was mixed. A disposition of either covers every joint of the batch. */
  readonly batch?: string;
  readonly mix?: string;
  /** The number of the lot that should not have been used. A disposition of it covers everything that depends on it in the job. */
  readonly lot?: string;
}

/** What was found on a tool, oldest first; empty for a tool that the build does not list. */
export type FoundOf = (tool: string) => ToolNow['found'];

/** What the build knows now of the tools, lots and parts that were used. */
export interface KnownNow extends Pick<Surroundings, 'lot' | 'part'> {
  readonly found: FoundOf;
}

/** What the rules know about one part of a step. Only facts of the job; the verbs decide what to do about them. */
export interface JobPart {
  /** What of this part must still be entered, in the order in which a person would do it. */
  readonly wants: (job: JobState, step: Step) => readonly Wanted[];
  /** What refuses the finish of the step although everything is entered. */
  readonly refuses?: (job: JobState, step: Step, moment: Moment) => readonly Refusal[];
  /** Values of this part that are outside or undecided, whether or not a disposition covers them. */
  readonly troubles?: (job: JobState, step: Step) => readonly Trouble[];
  /** What of this part, anywhere in the job, rests on something that turned out wrong: a failed sample, a tool, a lot, a part. */
  readonly doubts?: (job: JobState, known: KnownNow) => readonly Doubt[];
  /**
   * Sets aside what was entered, because the step must be done anew: it stays readable and no longer counts. `entry` is the id of the entry
   * that says so.
   */
  readonly setAside: (draft: Draft<JobState>, step: Step, entry: string) => void;
  /** What was entered, under the new ids of steps, readings and results. */
  readonly rekey?: (job: JobState, rename: (id: string) => string) => Partial<JobState>;
}

/** For a part that keeps nothing of its own in the job. */
export const nothingToSetAside: JobPart['setAside'] = () => undefined;

/** Marks acts as set aside by an entry, except those that were set aside before. */
export const supersede = (acts: readonly { superseded?: string }[] | undefined, entry: string): void => {
  for (const act of acts ?? []) act.superseded ??= entry;
};

/** A table with its keys renamed. */
export const withKeys = <T>(
  table: Readonly<Record<string, T>>,
  rename: (id: string) => string,
): Readonly<Record<string, T>> => Object.fromEntries(Object.entries(table).map(([id, value]) => [rename(id), value]));

/** A list with the step of each item renamed. */
export const withStep = <T extends { readonly step?: string }>(
  items: readonly T[],
  rename: (id: string) => string,
): readonly T[] => items.map((item) => (item.step === undefined ? item : { ...item, step: rename(item.step) }));
