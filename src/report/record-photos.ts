import type { RecordPhoto } from '../record/document-step.ts';
import { stampText, type Naming } from './people.ts';
import { facts, joined, type Block } from './sheet.ts';

/** Pictures by their file and its hash: they lie beside the state, never inside the page. */
export const photoBlocks = (photos: readonly RecordPhoto[], naming: Naming): readonly Block[] =>
  photos.flatMap((photo) =>
    facts(
      ['Photo', joined([photo.photo, photo.show, photo.from && `from ${photo.from}`])],
      ['File', [photo.file, ', SHA-256 ', { code: photo.sha256 }]],
      ['Entered', stampText(photo, naming)],
      ['Set aside', photo['set-aside'] && `by entry ${photo['set-aside']}; it stays on record`],
    ),
  );
