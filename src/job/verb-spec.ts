import type { GateSheet } from './gate-sheet.ts';

/** What a field holds after it is read, by its kind. */
export interface Held {
  readonly text: string;
  /** A text of any length, such as a signed answer. */
  readonly document: string;
  /** As typed, with its unit. */
  readonly quantity: string;
  /** A whole number without a unit, such as a count or the number of a fastener. */
  readonly whole: number;
  readonly yes: boolean;
  /** A person's id. */
  readonly person: string;
  /** Whoever is named: the id or name of a person of the build, or the name of somebody else, as typed. */
  readonly name: string;
  /** Several of them; commas are between them, too. */
  readonly names: readonly string[];
  /** RFC 3339. */
  readonly instant: string;
  readonly day: string;
  /** At the command a path; in the entry the file's own name. */
  readonly file: string;
  /** One text or several. */
  readonly list: readonly string[];
  /** Any number of texts, or none. */
  readonly texts: readonly string[];
  /** Whole numbers without a unit, such as the numbers of findings. */
  readonly wholes: readonly number[];
  readonly map: Readonly<Record<string, string>>;
  /** One value, or several by the names of their fields; a part of a map has the map's name before it, `weights.hardener`. */
  readonly value: string | Readonly<Record<string, string | readonly string[]>>;
  readonly calculation: CalculatedBy;
  /** What a procedures folder holds, one page each. */
  readonly pages: readonly PlannedPage[];
  readonly sheet: GateSheet;
}

/** A page of the procedures folder, as a `build` line keeps it: all that the rules need to know of it before a job follows it. */
export type PlannedPage = {
  readonly procedure: string;
  /** SHA-256 of the page's exact text. */
  readonly sha256: string;
  /** Its sides; empty where it has none. */
  readonly each: readonly string[];
  /** The gates that its steps pass. */
  readonly gates: readonly string[];
  /** The bulletin that it answers, and the procedure that the bulletin is about; both or none. */
  readonly bulletin?: string;
  readonly of?: string;
};

/** How a value was calculated, as the journal keeps it: enough for any reader to calculate it again. */
export type CalculatedBy = {
  readonly calculation: string;
  /** Which of its results is meant; absent for the first. */
  readonly result?: string;
  /** Each input as typed, with its unit. */
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

/** One type of journal line that people send: the bare object after the verb, the fields, and what the verb means for the job. */
export interface VerbSpec {
  /** The name under which the bare object is kept in the entry's data; absent where the verb has no object. */
  readonly object?: Field;
  readonly fields: readonly Field[];
  /**
   * What the workshop adds to what the person gave (hashes of files, a signed answer). It is decided on, and must be there where it is
   * required.
   */
  readonly brought?: readonly Field[];
  /** What the engine adds when it decides. Deciding the same entry again adds the same. */
  readonly derived?: readonly Field[];
  /** `job`: the verb belongs to one job. `build`: it belongs to the whole build. */
  readonly scope: 'job' | 'build';
  /** True where only a builder may do this; otherwise anybody who signs may. */
  readonly builder: boolean;
  /** Whoever does this counts as a performer of its step from then on. */
  readonly performs?: true;
  /** Done on a step with the glue wet, this makes a joint. */
  readonly joins?: true;
  /** Work that also ends an interruption, and ends the parking of a job. */
  readonly resumes?: true;
  /** Refused once the job is complete. Every other verb changes the job's story even then, and is recorded. */
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
