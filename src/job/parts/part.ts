import type { Draft } from 'immer';
import type { Refusal } from '../../fault/fault.ts';
import type { LoosePart, Mix, PhotoPart, Reading, Step, Tighten } from '../../procedure/model.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import type { ToolNow } from '../surroundings.ts';
import type { Slot } from '../values.ts';

/** One value of a fastener that its step asks for. */
export type FastenerValue = 'torque' | 'turns by hand' | 'turns past finger-tight' | 'mark';

/**
 * Something of a step that a person must still enter before the step can be finished; `what` names it for a person: `gap at root`. A cure,
 * a wait and a release are not entered, so they are never wanted in this sense: they refuse the finish instead.
 */
export type Wanted = { readonly what: string } & (
  | { readonly part: 'reading'; readonly reading: Reading; readonly slot: Slot }
  /** It cannot be calculated yet. Nothing is entered for it; what it is calculated from is missing or cannot be used. */
  | { readonly part: 'result'; readonly result: string }
  | {
      readonly part: 'tighten';
      readonly tighten: Tighten;
      readonly fastener: number;
      readonly missing: readonly FastenerValue[];
    }
  | { readonly part: 'mix'; readonly mix: Mix }
  | { readonly part: 'break'; readonly batch: string; readonly sample: string }
  /** The witness is invited. */
  | { readonly part: 'hold'; readonly invite: true }
  | { readonly part: 'loose'; readonly leave: LoosePart }
  /** The id of a loose item that the step closes. */
  | { readonly part: 'loose'; readonly close: string }
  | { readonly part: 'photo'; readonly photo: PhotoPart }
);

/** A value outside its limits or undecided. */
export interface Trouble {
  /** The reading, result or step by which a disposition names it. */
  readonly on: string;
  readonly step: string;
  /** What a disposition covers: this value, and not the next one in its place. */
  readonly key: string;
  readonly verdict: 'outside' | 'undecided';
  readonly what: string;
}

/** One thing that rests on a failed sample, or on a tool found wrong. */
export interface Doubt {
  /** The reading, step or sample by which a disposition names it. */
  readonly on: string;
  readonly step: string;
  /** What a disposition covers. */
  readonly key: string;
  readonly what: string;
  /** Why, without the thing itself: what was built over it is in doubt for the same reason. */
  readonly because: string;
  /** Names that reason, the same for all that rests on it. */
  readonly cause: string;
  /** The batch, and the step where it was mixed: a disposition of either covers every joint of it. */
  readonly batch?: string;
  readonly mix?: string;
}

/** What was found of a tool, oldest first; nothing for a tool that the build does not know. */
export type FoundOf = (tool: string) => ToolNow['found'];

/** What the rules know of one part of a step. Only facts of the job: what is done about them is for its verbs. */
export interface JobPart {
  /** What of this part is still to be entered, in the order in which a person would do it. */
  readonly wants: (job: JobState, step: Step) => readonly Wanted[];
  /** What refuses the finish of the step although everything is entered. */
  readonly refuses?: (job: JobState, step: Step, moment: Moment) => readonly Refusal[];
  /** Values of this part that are outside or undecided, whether or not a disposition covers them. */
  readonly troubles?: (job: JobState, step: Step) => readonly Trouble[];
  /** What of this part, anywhere in the job, rests on a failed sample or on a tool found wrong. */
  readonly doubts?: (job: JobState, found: FoundOf) => readonly Doubt[];
  /** The step is to be done anew: what was entered stays readable, and no longer counts. `entry`: the id of the entry that says so. */
  readonly setAside: (draft: Draft<JobState>, step: Step, entry: string) => void;
  /** What was entered, under the new ids of steps, readings and results. */
  readonly rekey?: (job: JobState, rename: (id: string) => string) => Partial<JobState>;
  /** What an inspector is shown of it, a line each. A line changes whenever what it stands for does. */
  readonly inspected: (job: JobState, step: Step) => readonly string[];
}

/** For a part of which nothing is kept apart from other parts. */
export const nothingToSetAside: JobPart['setAside'] = () => undefined;

/** Marks as set aside by an entry whatever has not been set aside before. */
export const supersede = (acts: readonly { superseded?: string }[] | undefined, entry: string): void => {
  for (const act of acts ?? []) act.superseded ??= entry;
};

/** A table under new ids. */
export const withKeys = <T>(
  table: Readonly<Record<string, T>>,
  rename: (id: string) => string,
): Readonly<Record<string, T>> => Object.fromEntries(Object.entries(table).map(([id, value]) => [rename(id), value]));

/** A list whose items name their step, under its new id. */
export const withStep = <T extends { readonly step?: string }>(
  items: readonly T[],
  rename: (id: string) => string,
): readonly T[] => items.map((item) => (item.step === undefined ? item : { ...item, step: rename(item.step) }));

/** One line of what is inspected; what is absent is left out. */
export const inspectedLine = (...words: readonly (string | number | false | undefined)[]): string =>
  words.filter((word) => word !== undefined && word !== false).join(' ');
