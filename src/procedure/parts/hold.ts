import * as z from 'zod/mini';
import { parseDuration } from '../../quantity/time.ts';
import { type Group, groupField, plain, textItems, timeLeaf } from '../compare/sheet.ts';
import type { Hold } from '../model.ts';
import { lookUp } from '../names.ts';
import { isEarlierOrHere } from '../resolving.ts';
import { complain, flag, given, readWith, textOrList } from '../schema/leaves.ts';
import type { WrittenPart } from './part.ts';

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

const schema = z.pipe(
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

const sheet = (hold: Hold): Group =>
  groupField({
    kind: plain(hold.kind),
    by: plain(hold.by),
    'look-for': textItems(hold.lookFor),
    remote: plain(hold.remote),
    of: plain(hold.of === undefined ? 'everything since the last hold point' : hold.of.join(', ')),
    self: timeLeaf(hold.self),
  });

export const writtenHold: WrittenPart<'hold'> = {
  slot: 'hold',
  key: 'hold',
  about: 'The job stops here for a second person’s look.',
  hints: {
    kind: 'hold, or witness: the second person is invited and the job may go on.',
    by: 'The power that releases it.',
    'look-for': 'What the second person looks for.',
    remote: 'false: it cannot be answered from afar.',
    of: 'The steps it inspects; everything since the last hold point where nothing is said.',
    self: 'after 24 h: the performer may look again themselves, and the record says so.',
  },
  schema,
  faultDepth: 1,
  resolve: (hold, { subject, names, index, path }) => {
    for (const [number, id] of (hold.of ?? []).entries())
      lookUp(subject, names.steps, id, [...path, 'hold', 'of', number], 'step', isEarlierOrHere(index));
    return hold;
  },
  sheet,
  rekey: (hold, change) => given({ ...hold, of: hold.of && change.steps(hold.of) }),
  isWork: false,
};
