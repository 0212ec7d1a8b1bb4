/** What a field holds once it is read, by its kind. */
export interface Held {
  readonly text: string;
  /** Text of any length: a signed answer. */
  readonly document: string;
  /** As typed, with its unit. */
  readonly quantity: string;
  readonly whole: number;
  readonly yes: boolean;
  readonly person: string;
  /** RFC 3339. */
  readonly instant: string;
  readonly day: string;
  /** A path at the command, the file's own name in the entry. */
  readonly file: string;
  /** One text or several. */
  readonly list: readonly string[];
  /** Any number of texts, none included. */
  readonly texts: readonly string[];
  readonly wholes: readonly number[];
  readonly map: Readonly<Record<string, string>>;
  /** One value, or several by the names of their fields. */
  readonly value: string | Readonly<Record<string, string>>;
  readonly calculation: CalculatedBy;
}

/** How a value was calculated, as the journal keeps it: enough for any reader to calculate it again. */
export type CalculatedBy = {
  readonly calculation: string;
  /** Which of its results; absent: the first. */
  readonly result?: string;
  /** Each input as typed. */
  readonly with: Readonly<Record<string, string>>;
};

export type FieldKind = keyof Held;

export interface Field<
  Name extends string = string,
  Kind extends FieldKind = FieldKind,
  Required extends boolean = boolean,
  Choice extends string = string,
> {
  readonly name: Name;
  readonly kind: Kind;
  readonly required: Required;
  readonly choices?: readonly Choice[];
  readonly about: string;
}

/** One type of journal line that people send: what stands bare after the verb, which fields come with it, and what it means for the job. */
export interface VerbSpec {
  /** The name under which the bare object is kept in the entry's data; absent where the verb stands alone. */
  readonly object?: Field;
  readonly fields: readonly Field[];
  /** What the workshop adds to what the person gave (hashes of files, a signed answer): decided on, and asked for where it is required. */
  readonly brought?: readonly Field[];
  /** What the engine adds to the entry; deciding the same entry again gives the same. */
  readonly derived?: readonly Field[];
  /** `job`: belongs to one job. `build`: to the whole build. */
  readonly scope: 'job' | 'build';
  /** Performing acts are the builder's; the others anybody who signs may enter. */
  readonly builder: boolean;
  /** Whoever does it is a performer of its step from then on. */
  readonly performs?: true;
  /** Done on a step with the glue wet, it makes a joint. */
  readonly joins?: true;
  /** Work that ends an interruption and takes a parked job up again. */
  readonly resumes?: true;
  /** A complete job takes it no more; everything else changes its story and is written down. */
  readonly untilComplete?: true;
  readonly about: string;
}

/** A field that is required. */
export const must = <const N extends string, const K extends FieldKind, const C extends string = string>(
  name: N,
  kind: K,
  about: string,
  choices?: readonly C[],
): Field<N, K, true, C> => ({ name, kind, required: true, about, ...(choices ? { choices } : {}) });

/** A field that may be left out. */
export const may = <const N extends string, const K extends FieldKind, const C extends string = string>(
  name: N,
  kind: K,
  about: string,
  choices?: readonly C[],
): Field<N, K, false, C> => ({ name, kind, required: false, about, ...(choices ? { choices } : {}) });
