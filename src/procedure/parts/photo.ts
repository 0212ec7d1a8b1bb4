import * as z from 'zod/mini';
import { groupField, listItems, words } from '../compare/sheet.ts';
import type { PhotoPart } from '../model.ts';
import { given, id, listSchema, textSchema } from '../schema/leaves.ts';
import type { WrittenPart } from './part.ts';

const schema = z.pipe(
  z.strictObject({ photo: id, show: textSchema, from: z.optional(textSchema) }),
  z.transform((raw): PhotoPart => given(raw)),
);

export const writtenPhoto: WrittenPart<'photo'> = {
  slot: 'photos',
  key: 'photo',
  about: 'Photos to be taken.',
  hints: {
    photo: 'The id of the photo.',
    show: 'What it must show.',
    from: 'From where.',
  },
  schema: listSchema(schema),
  faultDepth: 1,
  resolve: (photos) => photos,
  sheet: (photos) =>
    listItems(
      'ids',
      photos.map(({ photo, show, from }) => ({
        id: photo,
        node: groupField({ show: words(show), from: words(from) }),
      })),
    ),
  rekey: (photos, change) => photos.map((photo) => ({ ...photo, photo: change.own.photo(photo.photo) })),
  isWork: true,
};
