import type { RecordDocument } from '../record/document.ts';
import { struckText } from './parts/entered.ts';
import type { Naming } from './people.ts';
import type { Runs } from './sheet.ts';

type RecordPart = NonNullable<RecordDocument['parts']>[number];

/** A part for a person: its number, its serial number, and what was read wrongly before. */
export const partRuns = ({ part, serial, lot, struck = [], 'set-aside': away }: RecordPart, naming: Naming): Runs => [
  `${part}${serial === undefined ? '' : ` SN ${serial}`}${lot === undefined ? '' : `, lot ${lot}`}`,
  ...(away === undefined ? [] : [' (set aside)']),
  ...struck.flatMap((was) => [', before: ', { struck: was.value }, ` ${struckText(was, naming)}`]),
];
