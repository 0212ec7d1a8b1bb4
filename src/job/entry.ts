import type { clockDoubt, journalDoubt, LineType, lineTypes } from './line-types.ts';
import type { Field, Held } from './verb-spec.ts';
import type { JobVerb, Verb } from './verbs.ts';

/** A value of a line or a command before it is read: text, number, yes or no, or lists and maps of these. */
export type Datum = string | number | boolean | null | readonly Datum[] | { readonly [key: string]: Datum };
export type Data = Readonly<Record<string, Datum>>;

/* The data of each type of line, derived from the tables in verbs.ts and line-types.ts. */

type Specs = typeof lineTypes;
type OneOf<List> = List extends readonly Field[] ? List[number] : never;
type ObjectOf<L extends LineType> = Specs[L] extends { readonly object: infer F extends Field } ? F : never;
type ListOf<L extends LineType, Key extends string> =
  Specs[L] extends Readonly<Record<Key, infer List>> ? OneOf<List> : never;
type HeldBy<F extends Field> =
  F extends Field<string, infer Kind, boolean, infer Choice> ? (string extends Choice ? Held[Kind] : Choice) : never;
type Shape<F extends Field> = {
  readonly [One in F as One['required'] extends true ? One['name'] : never]: HeldBy<One>;
} & { readonly [One in F as One['required'] extends true ? never : One['name']]?: HeldBy<One> };

interface Common {
  readonly [clockDoubt]?: boolean;
  readonly [journalDoubt]?: string;
  readonly departures?: readonly string[];
}

type Flat<T> = { readonly [Key in keyof T]: T[Key] };

/** What a person gives with a verb, and what the workshop adds to it: the data that is decided on. */
export type AskedOf<L extends LineType> = Flat<
  Shape<ObjectOf<L> | ListOf<L, 'fields'> | ListOf<L, 'brought'>> &
    Pick<Common, typeof clockDoubt | typeof journalDoubt>
>;

/** What the engine adds when it decides. */
export type DerivedOf<L extends LineType> = Flat<Shape<ListOf<L, 'derived'>>>;

/** All the data that a line of a type holds. */
export type DataOf<L extends LineType> = Flat<
  Shape<ObjectOf<L> | ListOf<L, 'fields'> | ListOf<L, 'brought'> | ListOf<L, 'derived'>> & Common
>;

interface LineHead {
  /** `WRITER:SEQ`, the line's writer and its number. */
  readonly id: string;
  /** SHA-256 of the journal line. */
  readonly hash: string;
  /** When the entry was written; RFC 3339 with offset. */
  readonly at: string;
  /** When it happened, where that differs from `at`; rules use it. RFC 3339 with offset. */
  readonly when?: string;
  readonly by: string;
  /** The job's id; '' where the entry belongs to the whole build, and for `start`. */
  readonly job: string;
  /** Ids of those who signed the line beside its author. */
  readonly also: readonly string[];
  /** The fingerprint of the key that signed it, and of those that signed it too, in the order of `also`; absent where nobody signs. */
  readonly key?: string;
  readonly alsoKeys?: readonly string[];
  /** True where the time stamp cannot be believed and the person gave no other time. The build works this out when it folds the entry. */
  readonly doubtful?: boolean;
  /** Hash of the newest line of each other writer that this line's writer knew; absent where nobody else writes. */
  readonly seen?: Readonly<Record<string, string>>;
}

/** One line of the journal before its data is read. Its signature is checked elsewhere. */
export interface RawEntry extends LineHead {
  readonly type: string;
  readonly data: Data;
}

/** A line of one type after its data is read, so that the data has the shapes of the tables. */
export interface EntryOf<L extends LineType> extends LineHead {
  readonly type: L;
  readonly data: DataOf<L>;
}

/** A line of any type that this version of dryfit knows. */
export type Entry = { readonly [L in LineType]: EntryOf<L> }[LineType];

export type JobEntry = { readonly [V in JobVerb]: EntryOf<V> }[JobVerb];

interface CommandHead {
  readonly job: string;
  readonly by: string;
  readonly at: string;
  readonly when?: string;
  /** Who will write the entry, where known: the clock of each machine is compared with the time of its own last line. */
  readonly writer?: string;
}

/** What a person wants to enter, not yet read. The time is part of it, because the engine has no clock. */
export interface Command extends CommandHead {
  readonly verb: Verb;
  readonly data: Data;
}

/** A command of one verb, after its data is read. */
export interface CommandOf<V extends Verb> extends CommandHead {
  readonly verb: V;
  readonly data: AskedOf<V>;
}

export type ReadCommand = { readonly [V in Verb]: CommandOf<V> }[Verb];

export type JobCommand = { readonly [V in JobVerb]: CommandOf<V> }[JobVerb];

/** What the engine accepts: the entry to write, who else must sign it, and what to say about it. */
export interface TakenOf<V extends Verb> {
  readonly type: V;
  readonly data: DataOf<V>;
  readonly also: readonly string[];
  /** The verdict on a value, batch or fastener. */
  readonly verdict?: EntryVerdict;
  /** What to say to the person, one line each. */
  readonly told: readonly string[];
}

export type Taken = { readonly [V in Verb]: TakenOf<V> }[Verb];

export type EntryVerdict = 'within' | 'within, twin open' | 'outside' | 'undecided';

/** The writer of an entry, taken from the entry's id. */
export const writerOfEntry = ({ id }: Pick<Entry, 'id'>): string => id.slice(0, id.lastIndexOf(':'));

/** When an entry happened, which is the time that every rule uses. */
export const happened = (entry: { readonly at: string; readonly when?: string }): string => entry.when ?? entry.at;
