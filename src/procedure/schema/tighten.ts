import * as z from 'zod/mini';
import { toBase } from '../../quantity/quantity.ts';
import type { Tighten } from '../model.ts';
import {
  complain,
  type Context,
  flag,
  given,
  limitsIn,
  listSchema,
  quantitySchema,
  textSchema,
  tries,
  wholeSchema,
} from './leaves.ts';

/** More in one step is a slip of the finger, and each is entered by hand. */
const mostFasteners = 500;

const fasteners = z.pipe(
  wholeSchema,
  z.transform((count, context) => {
    if (count > mostFasteners) {
      const what = `${count} fasteners are more than ${mostFasteners}`;
      complain(context, count, { code: 'value-impossible', what, todo: 'make several steps of it' });
    }
    return count;
  }),
);

const file = z.strictObject({
  fasteners,
  order: z.optional(listSchema(wholeSchema)),
  torque: z.optional(limitsIn('N·m')),
  drag: z.optional(textSchema),
  adapter: z.optional(quantitySchema('length')),
  wrench: z.optional(quantitySchema('length')),
  'finger-tight': z.optional(limitsIn('turns')),
  past: z.optional(limitsIn('turns')),
  tries: z.optional(tries),
  never: z.optional(textSchema),
  tool: z.optional(textSchema),
  mark: z.optional(flag),
  source: z.optional(textSchema),
});

type FileTighten = z.output<typeof file>;

/** `drag` is still text: whether it names a reading shows only in the whole file. */
export type TightenDraft = Omit<Tighten, 'drag'> & { readonly drag?: string };

const orderOf = (raw: FileTighten, context: Context): readonly number[] => {
  const all = Array.from({ length: raw.fasteners }, (_, index) => index + 1);
  const { order } = raw;
  if (order === undefined) return all;
  const named = new Set(order);
  const missing = all.filter((fastener) => !named.has(fastener));
  if (order.length !== all.length || missing.length > 0) {
    const what = `the order does not name each of the ${raw.fasteners} fasteners once`;
    const todo = missing.length > 0 ? `add ${missing.slice(0, 8).join(', ')}` : 'name each once';
    complain(context, order, { code: 'order-wrong', what, todo }, ['order']);
  }
  return order;
};

/** What the part's own method needs to be a method. */
const tellMissing = (raw: FileTighten, context: Context): void => {
  const { 'finger-tight': fingerTight, past, torque, adapter, wrench } = raw;
  if (torque === undefined && fingerTight === undefined && past === undefined)
    return complain(context, raw, {
      code: 'missing-key',
      what: 'nothing says how far to tighten',
      todo: 'add torque: with its limits, or finger-tight: and past:',
    });
  if (torque !== undefined && adapter !== undefined && wrench === undefined)
    complain(context, raw, {
      code: 'missing-key',
      what: 'an adapter changes what the wrench must show only by its share of the wrench',
      todo: 'add wrench: with the length of the wrench',
    });
  if (adapter !== undefined && wrench !== undefined && toBase(wrench).add(toBase(adapter)).compare(0) <= 0)
    complain(
      context,
      raw,
      {
        code: 'value-impossible',
        what: `an adapter of ${adapter.text} leaves nothing of a wrench of ${wrench.text}`,
        todo: 'check both lengths',
      },
      ['adapter'],
    );
  for (const key of ['drag', 'adapter'] as const)
    if (raw[key] !== undefined && torque === undefined)
      complain(
        context,
        raw,
        { code: 'key-elsewhere', what: `${key} means nothing without torque`, todo: 'take it out, or add torque:' },
        [key],
      );
};

const toTighten = (raw: FileTighten, context: Context): TightenDraft => {
  const { 'finger-tight': fingerTight, past, torque, adapter, wrench, drag } = raw;
  tellMissing(raw, context);
  const { fasteners, tries: most, never, tool, mark, source } = raw;
  const order = orderOf(raw, context);
  const rest = { tries: most, never, tool, mark: mark ?? false, source };
  return given({ fasteners, order, torque, drag, adapter, wrench, fingerTight, past, ...rest });
};

export const tighten = z.pipe(file, z.transform(toTighten));
