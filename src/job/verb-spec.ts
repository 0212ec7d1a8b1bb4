export type FieldKind =
  | 'text'
  | 'quantity'
  | 'whole'
  | 'yes'
  | 'person'
  | 'instant'
  | 'day'
  | 'file'
  | 'list'
  | 'map'
  | 'value'
  | 'calculation';

export interface Field {
  readonly name: string;
  readonly kind: FieldKind;
  readonly required: boolean;
  readonly choices?: readonly string[];
  readonly about: string;
}

export interface VerbSpec {
  /** The name under which the bare object is kept in the entry's data; absent where the verb stands alone. */
  readonly object?: Field;
  readonly fields: readonly Field[];
  /** `job`: belongs to one job. `build`: to the whole build. */
  readonly scope: 'job' | 'build';
  /** Performing acts are the builder's; the others anybody who signs may enter. */
  readonly builder: boolean;
  /** Keys that the workshop brings along beside what the person entered (hashes of files, a signed answer). */
  readonly brought?: readonly string[];
  /** Keys that the engine itself adds to the entry; deciding the same entry again gives the same ones. */
  readonly derived?: readonly string[];
  readonly about: string;
}

/** A field that is wanted. */
export const must = (name: string, kind: FieldKind, about: string, choices?: readonly string[]): Field => ({
  name,
  kind,
  required: true,
  about,
  ...(choices ? { choices } : {}),
});

/** A field that may be left out. */
export const may = (name: string, kind: FieldKind, about: string, choices?: readonly string[]): Field => ({
  ...must(name, kind, about, choices),
  required: false,
});
