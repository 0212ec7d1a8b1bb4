import type { RecordCure } from '../../record/parts/cure.ts';
import { bad, good, open } from '../marks.ts';
import { instantText } from '../people.ts';
import { facts, heading, paragraph, table, type Block, type Runs } from '../sheet.ts';
import type { PrintedPart } from './part.ts';

const intervalRow = ({ from, to, temperature, counted, why }: RecordCure['intervals'][number]): readonly Runs[] => [
  [instantText(from)],
  [instantText(to)],
  [temperature],
  [counted ? good('counts') : bad(`counts nothing: ${why ?? ''}`)],
];

const cureBlocks = (cure: RecordCure): readonly Block[] => [
  heading(3, 'Cure'),
  ...facts(
    ['Of', cure.of.join(', ')],
    ['Waited for', cure.until],
    ['Floor', `${cure.floor}; below it nothing counts`],
    ['Reading at least every', cure['reading-every']],
    [
      'Between two points',
      cure.between === 'arrhenius' ? "a curve of ln(time) over 1/T: the author's choice" : "the colder point's time",
    ],
    ['Source', cure.source],
    ['Began', cure.begun && instantText(cure.begun)],
    ['Clock hours', cure.clock && cure['as-of'] && `${cure.clock}, until ${instantText(cure['as-of'])}`],
  ),
  ...(cure.begun === undefined ? [paragraph('The cure had not begun.')] : []),
  ...table(
    ['Stage', 'Needs', 'Counted', 'Of', '', 'As of'],
    cure.stages.map(({ stage, needs, counted, needed, reached, 'as-of': asOf }) => [
      [stage],
      [needs.join('; ')],
      [{ strong: counted }],
      [needed],
      [reached ? good('reached') : open('not reached')],
      asOf === undefined ? [] : [instantText(asOf)],
    ]),
  ),
  ...table(['From', 'To', 'At', 'Counted'], cure.intervals.map(intervalRow)),
  ...table(
    ['Temperature entered for', 'Value', 'Lowest since', 'Entry', 'Clock'],
    cure.readings.map(({ when, temperature, lowest, since, entry, doubtful }) => [
      [instantText(when)],
      [temperature],
      lowest === undefined ? [] : [since === undefined ? lowest : `${lowest}, ${instantText(since)}`],
      [{ code: entry }],
      doubtful ? ['in doubt'] : [],
    ]),
  ),
  ...table(
    ['Log imported', 'Rows', 'From', 'To', 'Entry', ''],
    (cure.logs ?? []).map(({ file, sha256, rows, from, to, entry, struck }) => [
      [`${file}, `, { code: sha256 }],
      [String(rows)],
      [instantText(from)],
      [instantText(to)],
      [{ code: entry }],
      struck === undefined ? [] : [bad(`struck, counts nothing: ${struck}`)],
    ]),
  ),
];

/** Clock hours and counted hours side by side. */
export const printedCure: PrintedPart = ({ cure }) => (cure ? cureBlocks(cure) : []);
