import type { RecordPhoto } from '../../record/parts/photo.ts';
import { stampText, type Naming } from '../people.ts';
import { facts, joined, type Block, type Runs } from '../sheet.ts';
import { byEntryText } from './entered.ts';
import type { PrintedPart } from './part.ts';

/** Photos by their file and its hash. The files are in the state; a page never has a photo inside it. */
export const photoBlocks = (photos: readonly RecordPhoto[], naming: Naming): readonly Block[] =>
  photos.flatMap((photo) =>
    facts(
      ['Photo', joined([photo.photo, photo.show, photo.from && `from ${photo.from}`])],
      ['File', keptPhotoRuns(photo)],
      ['Entered', stampText(photo, naming)],
      ['Set aside', byEntryText(photo['set-aside'])],
    ),
  );

/** A photo that an entry of another kind brought. */
export const keptPhotoRuns = ({ file, sha256 }: { readonly file: string; readonly sha256: string }): Runs => [
  file,
  ', SHA-256 ',
  { code: sha256 },
];

export const printedPhoto: PrintedPart = ({ photos = [] }, naming) => photoBlocks(photos, naming);
