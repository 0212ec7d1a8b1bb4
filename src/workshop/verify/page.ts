import type { RecordDocument } from '../../record/document.ts';
import { noted, type Observation } from '../../record/observe.ts';
import type { SignedFile } from '../../record/verify.ts';
import { recordHtml } from '../../report/record-sheet.ts';

/**
 * Whether the page for reading is the one that this dryfit makes of record.json. Another release may print the same record otherwise, so
 * this is a note; whether somebody changed the page is for its own signature to show.
 */
export const pageObservations = (
  { bytes }: SignedFile,
  document: RecordDocument | undefined,
): readonly Observation[] =>
  bytes === undefined || document === undefined || Buffer.from(bytes).toString('utf8') === recordHtml(document)
    ? []
    : [
        noted(
          'not the page that this dryfit makes of record.json: compare the two before you rely on it',
          'record.html',
        ),
      ];
