import type { Outcome } from '../../fault/fault.ts';
import { photoIn, type JobDraft } from '../draft.ts';
import type { AskedOf, CommandOf, EntryOf, EntryVerdict } from '../entry.ts';
import type { Moment } from '../moment.ts';
import type { JobState, KeptPhoto } from '../state.ts';
import type { Stamp } from '../stamp.ts';
import type { JobVerb } from '../verbs.ts';

/*
 * How the entries of one verb are corrected. Every act has one of these two, so that whoever adds a verb says how its entries are put right.
 */

/** What an entry says: the fields that its person gave, as last corrected. */
export type SaidBy<V extends JobVerb> = Partial<AskedOf<V>>;

type FieldName<V extends JobVerb> = keyof AskedOf<V> & string;

/** One correction of one entry. */
export interface Correction<V extends JobVerb> {
  /** The entry that is corrected. */
  readonly target: string;
  readonly was: SaidBy<V>;
  readonly now: SaidBy<V>;
  /** The entry that corrects it. */
  readonly entry: EntryOf<'correct'>;
}

/** What judging a corrected entry adds, as deciding it did when it was entered. */
export interface Judged {
  readonly data?: Partial<EntryOf<'correct'>['data']>;
  readonly also?: readonly string[];
  readonly verdict?: EntryVerdict | undefined;
  readonly told?: readonly string[];
}

/** A correction that somebody asks for: the `Ask` of its act. */
interface AskedCorrection {
  readonly job: JobState;
  readonly command: CommandOf<'correct'>;
  readonly data: AskedOf<'correct'>;
  readonly when: string;
  readonly moment: Moment;
}

export interface Correctable<V extends JobVerb> {
  /** The fields that may be corrected; none where only the time may be. */
  readonly fields: readonly FieldName<V>[];
  /** What to do about the other fields, in the imperative. */
  readonly otherwise?: string;
  /** The field that a bare value means, where the entry has one. */
  readonly bare?: (was: SaidBy<V>) => FieldName<V> | undefined;
  /** What an entry says now; `undefined` where the job has nothing of it. */
  readonly said: (job: JobState, target: string) => SaidBy<V> | undefined;
  /** Judges the fields as they will be, as they were judged when they were entered. */
  readonly judge?: (ask: AskedCorrection, correction: Omit<Correction<V>, 'entry'>) => Outcome<Judged>;
  /** Puts the right values in place of the old ones. */
  readonly put: (draft: JobDraft, correction: Correction<V>, job: JobState) => void;
  /** The steps that the entry concerns: releases that looked at them are void, and whoever corrects it performs on them. */
  readonly steps: (job: JobState, target: string) => readonly string[];
}

/** An entry that is not corrected, and what to do instead, in the imperative. */
export interface NotCorrected {
  readonly instead: string;
}

export const notCorrected = (instead: string): NotCorrected => ({ instead });

/** Where a job keeps what a verb's entries say, and under which names. */
interface Kept<V extends JobVerb, Item extends Stamp> {
  /** Everything of this kind in the job. An entry may have several. */
  readonly items: (job: JobState) => readonly Item[];
  /** The fields that may be corrected, each with its name in the item. */
  readonly names: { readonly [F in FieldName<V>]?: keyof Item & string };
  readonly steps?: (item: Item, job: JobState) => readonly (string | undefined)[];
  /** True where a photo is kept with the item: its file and its hash are corrected together. */
  readonly photo?: Item extends { readonly photo?: KeptPhoto } ? true : never;
}

/** A photo in the item of an entry, as the fields of that entry say it. */
const photoSaid = (item: object): object => {
  const { photo } = item as { readonly photo?: KeptPhoto };
  return photo === undefined ? {} : { photo: photo.file, 'photo-sha256': photo.sha256 };
};

const putPhoto = (item: Record<string, unknown>, now: object): void => {
  delete item['photo'];
  Object.assign(item, photoIn(now));
};

/** Corrects a field where the job keeps it: the right value takes its place in the item of the entry. */
export const correctsItem = <V extends JobVerb, Item extends Stamp>(
  { items, names, steps, photo }: Kept<V, Item>,
  more: Pick<Correctable<V>, 'otherwise' | 'bare' | 'judge'> & {
    /** What follows from the change elsewhere in the job. */
    readonly after?: Correctable<V>['put'];
  } = {},
): Correctable<V> => {
  const pairs = Object.entries(names) as (readonly [FieldName<V>, keyof Item & string])[];
  const own = (job: JobState, target: string): readonly Item[] => items(job).filter(({ entry }) => entry === target);
  const { after, ...rest } = more;
  return {
    ...rest,
    fields: [...pairs.map(([field]) => field), ...(photo === true ? ['photo' as FieldName<V>] : [])],
    said: (job, target) => {
      const [item] = own(job, target);
      const held = item && pairs.flatMap(([field, name]) => (item[name] === undefined ? [] : [[field, item[name]]]));
      return held && ({ ...Object.fromEntries(held), ...(photo === true ? photoSaid(item) : {}) } as SaidBy<V>);
    },
    put: (draft, correction, job) => {
      for (const item of own(draft as JobState, correction.target) as readonly Record<string, unknown>[]) {
        for (const [field, name] of pairs)
          if (correction.now[field] === undefined) delete item[name];
          else item[name] = correction.now[field];
        if (photo === true) putPhoto(item, correction.now);
      }
      after?.(draft, correction, job);
    },
    steps: (job, target) =>
      own(job, target).flatMap((item) => steps?.(item, job).filter((step) => step !== undefined) ?? []),
  };
};

/** For a verb whose entries say nothing but when they happened. */
export const correctsTime = <V extends JobVerb>(items: (job: JobState) => readonly Stamp[]): Correctable<V> =>
  correctsItem<V, Stamp>({ items, names: {} });
