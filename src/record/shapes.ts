import * as z from 'zod/mini';
import { parseInstant } from '../quantity/time.ts';

/** The small shapes that the rest of a record is made of. Every object is closed: an unknown key is a fault, never skipped. */
export const textShape = z.string();
export const wholeShape = z.int();
export const yes = z.literal(true);
export const textsShape = z.array(textShape);
export const optionalShape = z.exactOptional;

/** SHA-256 in lower-case hexadecimal. */
export const hash = z.string().check(z.regex(/^[0-9a-f]{64}$/));

/** RFC 3339 with its offset, as the person's clock had it; a day that the calendar has. */
export const instant = z.string().check(
  z.regex(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$/),
  z.refine((typed) => parseInstant(typed).ok),
);

/** A part's share in a ratio: a plain number above nothing. */
export const share = z.string().check(z.regex(/^(?=.*[1-9])\d{1,9}(\.\d{1,9})?$/));

/** A person's id. */
export const personShape = z.string().check(z.regex(/^[a-z0-9-]+$/));

/** A line of the journal: `WRITER:SEQ`. */
export const entry = z.string().check(z.regex(/^[^:\s]+:[1-9]\d*$/));

export const verdict = z.enum(['within', 'within, twin open', 'outside', 'undecided']);

/** Who did it and when: every act in a record carries these keys. */
export const stamp = {
  /** The line of the journal in which it was entered. */
  entry,
  by: textShape,
  /** When it was entered. */
  at: instant,
  /** When it happened, where the person said another time than that of the entry. */
  when: optionalShape(instant),
};

/** How a value was calculated: with the inputs as typed, and the formula's working and source for whoever has no dryfit. */
export const calculated = z.strictObject({
  calculation: textShape,
  /** Which of its results; absent: the first. */
  result: optionalShape(textShape),
  with: z.array(z.strictObject({ input: textShape, is: textShape })),
  working: optionalShape(textShape),
  formula: optionalShape(textShape),
  caution: optionalShape(textShape),
  warnings: optionalShape(textsShape),
});

/** A value that a correction struck: it stays readable, with its own person and time. */
export const struck = z.strictObject({
  value: textShape,
  calculated: optionalShape(calculated),
  ...stamp,
  /** Why it was struck, by whom, when. */
  reason: textShape,
  'struck-by': textShape,
  'struck-at': instant,
  /** The line of the journal that struck it. */
  'struck-entry': entry,
});

/** The entry (rework or undo) after which an act no longer counts. The act itself stays in the record. */
export const setAside = optionalShape(entry);

/** Every array and object of a type made read-only, at every depth. */
/** A photo that an entry of another kind brought: its file's own name, and its hash among the attachments of the state. */
export const keptPhoto = z.strictObject({ file: textShape, sha256: hash });

export type Frozen<T> = T extends readonly (infer Item)[]
  ? readonly Frozen<Item>[]
  : T extends object
    ? { readonly [Key in keyof T]: Frozen<T[Key]> }
    : T;

/** Who and when, as every act carries it. */
export interface RecordStamp {
  readonly entry: string;
  readonly by: string;
  readonly at: string;
  readonly when?: string;
}

export type RecordStruck = Frozen<z.infer<typeof struck>>;
