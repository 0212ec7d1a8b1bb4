import * as z from 'zod/mini';
import type { Outcome } from '../../fault/fault.ts';
import { type Limits, parseLimits } from '../../quantity/limits.ts';
import { parseQuantity, type Quantity } from '../../quantity/quantity.ts';
import { parseDay, parseDuration, parseSpan } from '../../quantity/time.ts';
import { type Dimension, type Unit, unitNamed } from '../../quantity/units.ts';
import type { MessageCode } from '../codes.ts';
import { shown } from '../message.ts';

/** What a schema finds wrong with a value. The place of the message comes from the value's path. */
export interface SchemaIssue {
  readonly code: MessageCode;
  readonly what: string;
  readonly todo: string;
}

/** What zod gives a transform, as far as it is used here. */
export interface Context {
  readonly issues: unknown[];
}

/** Adds an issue about the value at `path`, from the value that the schema reads. */
export const complain = (context: Context, input: unknown, complaint: SchemaIssue, path: PropertyKey[] = []): void => {
  context.issues.push({ code: 'custom', input, path, params: complaint, message: complaint.what });
};

/** The value of an outcome; a fault becomes an issue at `path`. */
export const take = <T>(context: Context, outcome: Outcome<T>, input: unknown, path?: PropertyKey[]): T | undefined => {
  if (outcome.ok) return outcome.value;
  const { code, what, todo } = outcome.fault;
  complain(context, input, { code: code as MessageCode, what, todo }, path);
  return undefined;
};

/** For the JSON Schema alone: the type that a YAML editor gives to a value that dryfit reads as text. */
export const editorHints = z.registry<{ readonly as: 'scalar' | 'words' | 'flag' | 'whole' }>();

/** Text as typed. A YAML editor may take it for a number (`3.2`) or a boolean (`true`). */
export const textSchema = z.string().register(editorHints, { as: 'scalar' });

/** Text that every YAML program takes for text: a number with its unit, a day with its hyphens. */
const words = z.string().register(editorHints, { as: 'words' });

/** Text that a function of another room reads; its fault becomes an issue at the text. */
export const readWith = <T>(read: (typed: string) => Outcome<T>) =>
  z.pipe(
    words,
    z.transform((typed, context): T => take(context, read(typed), typed) ?? (z.NEVER as T)),
  );

const matching = (isGood: (typed: string) => boolean, complaintFor: (typed: string) => SchemaIssue) =>
  z.pipe(
    textSchema,
    z.transform((typed, context): string => {
      if (!isGood(typed)) complain(context, typed, complaintFor(typed));
      return typed;
    }),
  );

/** The id that was most likely meant; empty where none can be made of it. */
export const kebab = (typed: string): string =>
  typed
    .slice(0, 60)
    .replaceAll(/([a-z])([A-Z])/g, '$1-$2')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^[-0-9]+|-+$/g, '');

const idPattern = /^(?=[a-z])(?:[a-z0-9]|-(?=[a-z0-9<])|<each>)+$/;

export const isId = (typed: string): boolean => typed.length <= 100 && idPattern.test(typed);

/** An id, such as `keel-scarf-bond`. Records and comparisons depend on ids, and limits name them, so they are plain. */
export const id = matching(isId, (typed) => ({
  code: 'id-unreadable',
  what: `${shown(typed)} cannot be an id: lower-case letters, digits and single hyphens, a letter first`,
  todo: kebab(typed) === '' ? 'give it an id such as dry-fit' : `write ${kebab(typed)}`,
}));

const wordPattern = /^(?:[\p{L}\p{N}]|<each>)(?:[\p{L}\p{N}._-]|<each>)*$/u;

/** A name that becomes part of ids, or that another file gives: one word. */
export const word = matching(
  (typed) => typed.length <= 100 && wordPattern.test(typed),
  (typed) => ({
    code: 'id-unreadable',
    what: `${shown(typed)} cannot be a name here: one word of letters, digits, hyphens`,
    todo: kebab(typed) === '' ? 'write one word' : `write ${kebab(typed)}`,
  }),
);

export const flag = z
  .pipe(
    z.enum(['true', 'false']),
    z.transform((typed) => typed === 'true'),
  )
  .register(editorHints, { as: 'flag' });

/** A whole number, from 1. */
export const wholeSchema = z
  .pipe(
    z.string(),
    z.transform((typed, context): number => {
      if (/^[1-9]\d{0,5}$/.test(typed)) return Number(typed);
      const what = `${shown(typed)} is not a whole number from 1`;
      complain(context, typed, { code: 'wrong-kind', what, todo: 'write a number such as 2' });
      return z.NEVER;
    }),
  )
  .register(editorHints, { as: 'whole' });

export const duration = readWith(parseDuration);
export const calendarDurationSchema = readWith(parseSpan);
export const day = z.pipe(
  readWith(parseDay),
  z.transform((read) => read.text),
);

export const quantitySchema = (dimension: Dimension) =>
  readWith((typed): Outcome<Quantity> => parseQuantity(typed, { dimension }));

/** Limits in units of the dimension of `unit`. */
export const limitsIn = (unit: string, dimension?: Dimension) =>
  readWith((typed): Outcome<Limits> => parseLimits(typed, { unit: unitNamed(unit, dimension) }));

/** A list with something in it. */
export const listSchema = <T extends z.core.SomeType>(item: T) => z.array(item).check(z.minLength(1));

/** The most names in such a list. More are a mistake, and each multiplies the work. */
const mostOnes = 100;

/** The names under `each` and `for`: sides, bays. */
export const ones = z.pipe(
  listSchema(word),
  z.transform((names, context) => {
    if (names.length > mostOnes) {
      const what = `${names.length} are more than ${mostOnes}`;
      complain(context, names, { code: 'value-impossible', what, todo: 'make several steps of it' });
    }
    const double = names.slice(0, mostOnes).findIndex((name, index) => names.indexOf(name) < index);
    if (names.length <= mostOnes && double !== -1) {
      const what = `${shown(names[double]!)} stands here twice`;
      complain(context, names, { code: 'duplicate-id', what, todo: 'keep one' }, [double]);
    }
    return names;
  }),
);

/** One text, or a list of texts; always read as a list. */
export const textOrList = z.pipe(
  z.union([textSchema, listSchema(textSchema)]),
  z.transform((typed): readonly string[] => (typeof typed === 'string' ? [typed] : typed)),
);

/** `at most 2`, or the number alone. */
export const tries = z.pipe(
  textSchema,
  z.transform((typed, context): number => {
    const number = /^(?:at most )?([1-9]\d{0,3})$/.exec(typed)?.[1];
    if (number !== undefined) return Number(number);
    const what = `${shown(typed)} is no number of tries from 1`;
    complain(context, typed, { code: 'limits-unreadable', what, todo: 'write it as in: at most 2' });
    return z.NEVER;
  }),
);

export const countUnit: Unit = unitNamed('count');

type GivenKeys<T> = { readonly [K in keyof T as undefined extends T[K] ? never : K]: T[K] } & {
  readonly [K in keyof T as undefined extends T[K] ? K : never]?: Exclude<T[K], undefined>;
};

/** A frozen copy without the keys whose value is undefined. */
export const given = <T extends object>(fields: T): GivenKeys<T> =>
  Object.freeze(Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined))) as GivenKeys<T>;
