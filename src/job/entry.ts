import type { Verb } from './verbs.ts';

/** What an entry or a command carries: quantities as typed, whole numbers, yes or no, lists and maps of these. */
export type Datum = string | number | boolean | null | readonly Datum[] | { readonly [key: string]: Datum };
export type Data = Readonly<Record<string, Datum>>;

/** One line of the journal as the engine sees it: the signature is already checked, or told to be open, elsewhere. */
export interface Entry {
  /** `WRITER:SEQ` */
  readonly id: string;
  /** SHA-256 of the journal line. */
  readonly hash: string;
  /** Written; RFC 3339 with offset. */
  readonly at: string;
  /** Happened, where that differs; rules use it. */
  readonly when?: string;
  readonly by: string;
  /** The job's id; empty where the entry belongs to the whole build, and for `start`. */
  readonly job: string;
  /** A verb, or `key` or `build`. */
  readonly type: string;
  readonly data: Data;
  /** Who else signed the line. */
  readonly also: readonly string[];
  /** The fingerprint of the key that signed it, and of those that signed it too, in the order of `also`; absent where nobody signs. */
  readonly key?: string;
  readonly alsoKeys?: readonly string[];
  /** Its stamp is not to be believed, and the person said no other time; the build knows, when it folds the entry. */
  readonly doubtful?: boolean;
  /** The newest line of each other writer that its own writer knew, by hash; absent where nobody else writes. */
  readonly seen?: Readonly<Record<string, string>>;
}

/** What a person wants to enter. The time comes with it: the engine has no clock. */
export interface Command {
  readonly verb: Verb;
  readonly job: string;
  readonly by: string;
  readonly at: string;
  readonly when?: string;
  readonly data: Data;
  /** Who will write it, where that is known: the clock of each machine is held against its own last line. */
  readonly writer?: string;
}

/** The writer of an entry, out of its id. */
export const writerOfEntry = ({ id }: Pick<Entry, 'id'>): string => id.slice(0, id.lastIndexOf(':'));

/** What the engine takes: the entry to write, who else must sign it, and what to say about it. */
export interface Taken {
  readonly type: Verb;
  readonly data: Data;
  readonly also: readonly string[];
  /** Of a value, a batch or a fastener. */
  readonly verdict?: EntryVerdict;
  /** One line each, for the person. */
  readonly told: readonly string[];
}

export type EntryVerdict = 'within' | 'within, twin open' | 'outside' | 'undecided';

/** When it happened: what every rule on time uses. */
export const happened = (entry: { readonly at: string; readonly when?: string }): string => entry.when ?? entry.at;

export const textOf = (data: Data, key: string): string | undefined => {
  const value = data[key];
  return typeof value === 'string' ? value : undefined;
};

export const wholeOf = (data: Data, key: string): number | undefined => {
  const value = data[key];
  return typeof value === 'number' ? value : undefined;
};

export const listOf = (data: Data, key: string): readonly string[] => {
  const value = data[key];
  return Array.isArray(value) ? value.filter((item): item is string => typeof item === 'string') : [];
};

export const mapOf = (data: Data, key: string): Readonly<Record<string, string>> => {
  const value = data[key];
  if (value === null || typeof value !== 'object' || Array.isArray(value)) return {};
  return Object.fromEntries(
    Object.entries(value).filter((pair): pair is [string, string] => typeof pair[1] === 'string'),
  );
};

/** How a value was calculated, as it stands in an entry: enough for any reader to calculate it again. */
export interface CalculatedBy {
  readonly calculation: string;
  /** Which of its results; absent: the first. */
  readonly result?: string;
  /** Each input as typed. */
  readonly with: Readonly<Record<string, string>>;
}

/** What an entry says of how its value was calculated. */
export const calculatedOf = (data: Data): CalculatedBy | undefined => {
  const said = data['calculated'];
  if (said === undefined || said === null || typeof said !== 'object' || Array.isArray(said)) return undefined;
  const fields = said as Data;
  const result = textOf(fields, 'result');
  return {
    calculation: textOf(fields, 'calculation') ?? '',
    ...(result === undefined ? {} : { result }),
    with: mapOf(fields, 'with'),
  };
};
