import * as z from 'zod/mini';
import { parseDuration } from '../../quantity/time.ts';
import { shown } from '../message.ts';
import type { Again, Hold, LoosePart, PhotoPart } from '../model.ts';
import {
  complain,
  flag,
  given,
  id,
  listSchema,
  readWith,
  textSchema,
  textOrList,
  wholeSchema,
  word,
} from './leaves.ts';

/** `after 24 h` */
const self = readWith((typed) => parseDuration(typed.replace(/^after\s+/, '')));

const holdFile = z.strictObject({
  kind: z.optional(z.enum(['hold', 'witness'])),
  by: z.optional(z.enum(['inspector', 'designer', 'witness'])),
  'look-for': z.optional(textOrList),
  remote: z.optional(flag),
  of: z.optional(textOrList),
  self: z.optional(self),
});

export const holdSchema = z.pipe(
  holdFile,
  z.transform((raw, context): Hold => {
    const kind = raw.kind ?? 'hold';
    const by = raw.by ?? (kind === 'witness' ? 'witness' : 'inspector');
    if (kind === 'hold' && by === 'witness')
      complain(
        context,
        raw,
        {
          code: 'unknown-value',
          what: 'a witness releases no hold',
          todo: 'write by: inspector, or kind: witness for a witness point',
        },
        ['by'],
      );
    return given({ kind, by, lookFor: raw['look-for'] ?? [], remote: raw.remote ?? true, of: raw.of, self: raw.self });
  }),
);

export const looseSchema = z.pipe(
  z.strictObject({ item: word, count: z.optional(wholeSchema), left: textSchema, because: textSchema, before: word }),
  z.transform((raw): LoosePart => given({ ...raw, count: raw.count ?? 1 })),
);

export const photo = z.pipe(
  z.strictObject({ photo: id, show: textSchema, from: z.optional(textSchema) }),
  z.transform((raw): PhotoPart => given(raw)),
);

/** Hours of an engine, flights, months: whatever `count` counts, so they stay text. */
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
