import * as z from 'zod/mini';
import type { Limits } from '../../quantity/limits.ts';
import { toBase } from '../../quantity/quantity.ts';
import { unitNamed } from '../../quantity/units.ts';
import { inputLeaf, triesLeaf } from '../compare/leaf-values.ts';
import { type Group, groupField, type Leaf, limitsLeaf, plain, quantityLeaf, words } from '../compare/sheet.ts';
import type { IdChange } from '../id-change.ts';
import { resolvedInput, rekeyedInput } from '../inputs.ts';
import type { Tighten } from '../model.ts';
import { isEarlierOrHere, type Resolving } from '../resolving.ts';
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
} from '../schema/leaves.ts';
import type { TightenDraft } from '../step-draft.ts';
import { checkLimits } from '../values.ts';
import type { WrittenPart } from './part.ts';

/** The most fasteners of one step. Each is entered by hand, so more are a mistake. */
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

/** Requires what makes a method of tightening whole. */
const requireMethod = (raw: FileTighten, context: Context): void => {
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
  requireMethod(raw, context);
  const { fasteners, tries: most, never, tool, mark, source } = raw;
  const order = orderOf(raw, context);
  const rest = { tries: most, never, tool, mark: mark ?? false, source };
  return given({ fasteners, order, torque, drag, adapter, wrench, fingerTight, past, ...rest });
};

const resolve = (draft: TightenDraft, resolving: Resolving): Tighten => {
  const { index, path } = resolving;
  const { drag, ...rest } = draft;
  const isAbove = isEarlierOrHere(index);
  const check = (limits: Limits | undefined, key: string, unit: string): void =>
    checkLimits(resolving, limits, [...path, 'tighten', key], isAbove, unitNamed(unit));
  check(rest.torque, 'torque', 'N·m');
  check(rest.fingerTight, 'finger-tight', 'turns');
  check(rest.past, 'past', 'turns');
  if (drag === undefined) return rest;
  if (drag === 'measured') return { ...rest, drag };
  return given({ ...rest, drag: resolvedInput(resolving, drag, [...path, 'tighten', 'drag'], isAbove, ['torque']) });
};

const dragLeaf = (drag: Tighten['drag']): Leaf | undefined =>
  drag === undefined || drag === 'measured' ? plain(drag) : inputLeaf(drag);

const sheet = (tighten: Tighten): Group =>
  groupField({
    fasteners: plain(tighten.fasteners),
    order: plain(tighten.order.join(', ')),
    torque: limitsLeaf(tighten.torque),
    drag: dragLeaf(tighten.drag),
    adapter: quantityLeaf(tighten.adapter),
    wrench: quantityLeaf(tighten.wrench),
    'finger-tight': limitsLeaf(tighten.fingerTight),
    past: limitsLeaf(tighten.past),
    tries: triesLeaf(tighten.tries),
    never: words(tighten.never),
    tool: plain(tighten.tool),
    mark: plain(tighten.mark),
    source: words(tighten.source),
  });

const rekey = (tighten: Tighten, change: IdChange): Tighten => {
  const { torque, fingerTight, past, drag } = tighten;
  return given({
    ...tighten,
    torque: torque && change.limits(torque),
    fingerTight: fingerTight && change.limits(fingerTight),
    past: past && change.limits(past),
    drag: drag === undefined || drag === 'measured' ? drag : rekeyedInput(drag, change),
  });
};

export const writtenTighten: WrittenPart<'tighten'> = {
  slot: 'tighten',
  key: 'tighten',
  about: 'The part’s own method of tightening.',
  hints: {
    fasteners: 'How many; each has a value and a mark of its own.',
    order: 'The order of tightening: each number once.',
    torque: 'Limits at the fastener: 160 to 190 in·lb.',
    drag: 'measured, a torque, or the id of a reading above.',
    adapter: 'The length that an adapter adds along the wrench.',
    wrench: 'The length of the wrench, square to its grip.',
    'finger-tight': 'Turns by hand: 3.5 to 5 turns.',
    past: 'Turns past finger-tight: 1.5 to 2.5 turns.',
    tries: 'at most 2: how often it may be tried.',
    never: 'What must never be done: back off to line up.',
    mark: 'true: each is marked when it is tight.',
  },
  schema: z.pipe(file, z.transform(toTighten)),
  faultDepth: 2,
  resolve,
  sheet,
  rekey,
  uses: ({ tool }) => [{ kind: 'tool', name: tool, path: ['tighten', 'tool'] }],
  sourced: ({ source }) => [{ name: 'tighten', source, path: ['tighten'] }],
  neverNegative: ({ torque, fingerTight, past }) => [
    { limits: torque, path: ['tighten', 'torque'], what: 'a torque that tightens', aboveZero: true },
    { limits: fingerTight, path: ['tighten', 'finger-tight'], what: 'turns', aboveZero: false },
    { limits: past, path: ['tighten', 'past'], what: 'turns', aboveZero: false },
  ],
  isWork: true,
};
