import { own } from '../../fault/own.ts';
import type { RecordCalculated } from '../../record/calculated.ts';
import type { RecordReading, RecordTry } from '../../record/parts/reading.ts';
import { verdictMark } from '../marks.ts';
import { stampText, type Naming } from '../people.ts';
import { facts, heading, joined, table, type Block, type Runs } from '../sheet.ts';
import { refusedText, setAsideText, struckText, triesText, verdictOn } from './entered.ts';
import type { PrintedPart } from './part.ts';

type MaybeCalculated = { readonly calculated?: RecordCalculated };

/** Printed beside a value that nobody read off a tool. */
const calculatedMark = ({ calculated }: MaybeCalculated): Runs => (calculated ? [' calculated'] : []);

/** How it was calculated, so that a reader can check it. */
const calculatedText = ({ calculated: by }: MaybeCalculated): string | undefined => {
  if (by === undefined) return undefined;
  const inputs = by.with.map(({ input, is }) => `${input} ${is}`).join(', ');
  const name = `calculated by ${by.calculation}${by.result === undefined ? '' : ` (${by.result})`} from ${inputs}`;
  return [name, by.working, by.formula, ...(by.warnings ?? [])].filter((part) => part !== undefined).join('; ');
};

/** The verdict at the time; where the page has other limits now, with the limits of both pages. */
const verdictsText = (taken: RecordTry, reading: RecordReading): Runs => {
  const { 'by-page': old, 'verdict-now': now } = taken;
  if (old === undefined) return verdictOn(taken);
  const [before, limits] = [old, reading].map((page) => page.limits ?? page.accept?.join(' or '));
  const then = `by revision ${old.revision}${before === undefined ? '' : ` (${before})`}`;
  return joined(
    [[...verdictOn(taken), ` ${then}`], now && [...verdictMark(now), ` by the page of now (${limits ?? ''})`]],
    '; ',
  );
};

const readingRows = (reading: RecordReading, naming: Naming): readonly (readonly Runs[])[] =>
  reading.entered.flatMap((taken) => {
    const number = `${taken.number}`;
    const place = joined([taken.position, taken.n === undefined ? undefined : `time ${taken.n}`]);
    const note = joined(
      [
        calculatedText(taken),
        taken.tool && `with ${taken.tool}`,
        taken.uncertainty?.join(', '),
        taken.reason && `taken again: ${taken.reason}`,
        taken.refused && `refused: ${refusedText(taken.refused) ?? ''}`,
        setAsideText(taken['set-aside']),
      ],
      '; ',
    );
    return [
      ...taken.struck.map((one): readonly Runs[] => [
        [number],
        place,
        [{ struck: one.value }, ...calculatedMark(one)],
        [],
        [stampText(one, naming)],
        joined([calculatedText(one), struckText(one, naming)], '; '),
      ]),
      [
        [number],
        place,
        [{ strong: taken.value }, ...calculatedMark(taken)],
        verdictsText(taken, reading),
        [stampText(taken, naming)],
        note,
      ],
    ];
  });

const sidesText = (reading: RecordReading): string | undefined =>
  reading['other-sides']
    ?.map(
      ({ side, job, values, finished }) =>
        `${side}: ${values.join(', ') || 'nothing yet'} (${job}${finished ? '' : ', its step not finished'})`,
    )
    .join('; ');

const kinds: Readonly<Record<string, string>> = { count: 'a count', text: 'in words', choice: 'one of several' };

const kindText = (unit: string): string => own(kinds, unit) ?? `in ${unit}`;

const readingBlocks = (reading: RecordReading, naming: Naming): readonly Block[] => [
  heading(3, reading.ask ?? reading.reading),
  ...facts(
    ['Reading', [{ code: reading.reading }, `, ${kindText(reading.unit)}`]],
    ['Limits', reading.limits],
    ['Limits, filled in', reading['limits-now']],
    ['Choices', reading.choices?.join(', ')],
    ['Accepted', reading.accept?.join(', ')],
    ['Between the sides', reading.twin],
    ['Other sides', sidesText(reading)],
    ['Difference', reading.difference?.join(', ')],
    ['Decided', reading.guarded ? 'guarded: the uncertainty of the tool is kept off the limits' : undefined],
    ['Entered', reading.blind ? 'before the limits were shown' : undefined],
    ['Tries', triesText(reading['tries-allowed'])],
    ['Source', reading.source],
  ),
  ...(reading.entered.length === 0 ? facts(['Value', 'none was entered']) : []),
  ...table(['Try', 'Where', 'Entered', 'Verdict', 'By, when', 'Remarks'], readingRows(reading, naming)),
];

/** Each reading: its limits, and every try of it, those that were struck too. */
export const printedReading: PrintedPart = ({ readings = [] }, naming) =>
  readings.flatMap((reading) => readingBlocks(reading, naming));
