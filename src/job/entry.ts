import type { clockDoubt, LineType, lineTypes } from './line-types.ts';
import type { Field, Held } from './verb-spec.ts';
import type { JobVerb, Verb } from './verbs.ts';

/** What a line or a command carries before it is read: text, whole numbers, yes or no, lists and maps of these. */
export type Datum = string | number | boolean | null | readonly Datum[] | { readonly [key: string]: Datum };
export type Data = Readonly<Record<string, Datum>>;

/* What each type of line holds, by the tables in verbs.ts and line-types.ts. */

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
  readonly departures?: readonly string[];
}

type Flat<T> = { readonly [Key in keyof T]: T[Key] };

/** What a person gives with a verb, and what the workshop brings to it: what is decided on. */
export type AskedOf<L extends LineType> = Flat<
  Shape<ObjectOf<L> | ListOf<L, 'fields'> | ListOf<L, 'brought'>> & Pick<Common, typeof clockDoubt>
>;

/** What the engine adds. */
export type DerivedOf<L extends LineType> = Flat<Shape<ListOf<L, 'derived'>>>;

/** All that a line of a type holds. */
export type DataOf<L extends LineType> = Flat<
  Shape<ObjectOf<L> | ListOf<L, 'fields'> | ListOf<L, 'brought'> | ListOf<L, 'derived'>> & Common
>;

interface LineHead {
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

/** One line of the journal before its data is read; its signature is checked elsewhere. */
export interface RawEntry extends LineHead {
  readonly type: string;
  readonly data: Data;
}

/** A line of one type, read: its data has the shapes of the tables. */
export interface EntryOf<L extends LineType> extends LineHead {
  readonly type: L;
  readonly data: DataOf<L>;
}

/** A line of any type that this dryfit knows. */
export type Entry = { readonly [L in LineType]: EntryOf<L> }[LineType];

export type JobEntry = { readonly [V in JobVerb]: EntryOf<V> }[JobVerb];

interface CommandHead {
  readonly job: string;
  readonly by: string;
  readonly at: string;
  readonly when?: string;
  /** Who will write it, where that is known: the clock of each machine is held against its own last line. */
  readonly writer?: string;
}

/** What a person wants to enter, as it comes in. The time comes with it: the engine has no clock. */
export interface Command extends CommandHead {
  readonly verb: Verb;
  readonly data: Data;
}

/** A command of one verb, read. */
export interface CommandOf<V extends Verb> extends CommandHead {
  readonly verb: V;
  readonly data: AskedOf<V>;
}

export type ReadCommand = { readonly [V in Verb]: CommandOf<V> }[Verb];

export type JobCommand = { readonly [V in JobVerb]: CommandOf<V> }[JobVerb];

/** What the engine takes: the entry to write, who else must sign it, and what to say about it. */
export interface TakenOf<V extends Verb> {
  readonly type: V;
  readonly data: DataOf<V>;
  readonly also: readonly string[];
  /** Of a value, a batch or a fastener. */
  readonly verdict?: EntryVerdict;
  /** One line each, for the person. */
  readonly told: readonly string[];
}

export type Taken = { readonly [V in Verb]: TakenOf<V> }[Verb];

export type EntryVerdict = 'within' | 'within, twin open' | 'outside' | 'undecided';

/** The writer of an entry, out of its id. */
export const writerOfEntry = ({ id }: Pick<Entry, 'id'>): string => id.slice(0, id.lastIndexOf(':'));

/** When it happened: what every rule on time uses. */
export const happened = (entry: { readonly at: string; readonly when?: string }): string => entry.when ?? entry.at;
