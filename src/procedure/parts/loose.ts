import * as z from 'zod/mini';
import { groupField, listItems, plain, words } from '../compare/sheet.ts';
import type { LoosePart } from '../model.ts';
import { given, listSchema, textSchema, wholeSchema, word } from '../schema/leaves.ts';
import type { WrittenPart } from './part.ts';

const schema = z.pipe(
  z.strictObject({ item: word, count: z.optional(wholeSchema), left: textSchema, because: textSchema, before: word }),
  z.transform((raw): LoosePart => given({ ...raw, count: raw.count ?? 1 })),
);

export const writtenLoose: WrittenPart<'loose'> = {
  slot: 'loose',
  key: 'loose',
  about: 'Things left unfinished on purpose.',
  hints: {
    item: 'The id of the item.',
    count: 'How many.',
    left: 'As what it is left: finger tight.',
    because: 'Why.',
    before: 'The gate before which it is closed.',
  },
  schema: listSchema(schema),
  faultDepth: 1,
  resolve: (items) => items,
  sheet: (items) =>
    listItems(
      'ids',
      items.map(({ item, count, left, because, before }) => ({
        id: item,
        node: groupField({
          count: plain(count),
          left: words(left),
          because: words(because),
          before: plain(before),
        }),
      })),
    ),
  rekey: (items, change) => items.map((loose) => ({ ...loose, item: change.own.item(loose.item) })),
  isWork: false,
};
