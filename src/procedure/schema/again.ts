import * as z from 'zod/mini';
import { shown } from '../message.ts';
import type { Again } from '../model.ts';
import { complain, given, listSchema, textSchema } from './leaves.ts';

/** Engine hours, flights, months: a number of whatever `count` counts, kept as text. */
const amount = z.pipe(
  textSchema,
  z.transform((typed, context) => {
    if (!/^\d+(?:\.\d+)? +\S/.test(typed)) {
      const what = `${shown(typed)} is not a number with its unit`;
      complain(context, typed, { code: 'unit-missing', what, todo: 'write it as in 50 h' });
    }
    return typed;
  }),
);

export const again = z.pipe(
  z.strictObject({ at: z.optional(listSchema(amount)), every: z.optional(amount), count: z.optional(textSchema) }),
  z.transform((raw, context): Again => {
    if (raw.at === undefined && raw.every === undefined)
      complain(context, raw, { code: 'missing-key', what: 'nothing says when again', todo: 'add at: or every:' });
    return given({ at: raw.at ?? [], every: raw.every, count: raw.count });
  }),
);
