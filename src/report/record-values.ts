import type { RecordCalculated } from '../record/calculated.ts';
import type { RecordFastener, RecordReading, RecordResult, RecordTighten } from '../record/document-step.ts';
import type { RecordStruck } from '../record/document.ts';
import { verdictMark } from './marks.ts';
import { instantText, stampText, type Naming } from './people.ts';
import { facts, heading, joined, table, type Block, type Runs } from './sheet.ts';
import { own } from '../fault/own.ts';

const struckReason = (struck: RecordStruck, naming: Naming): string =>
  `struck by ${naming(struck['struck-by'])}, ${instantText(struck['struck-at'])}: ${struck.reason}`;

const setAside = (entry: string | undefined): string | undefined =>
  entry === undefined ? undefined : `set aside by entry ${entry}; it stays on record`;

type MaybeCalculated = { readonly calculated?: RecordCalculated };

/** Beside the value: nobody read it off anything. */
const calculatedMark = ({ calculated }: MaybeCalculated): Runs => (calculated ? [' calculated'] : []);

/** How it was calculated, so that a reader can do it again. */
const calculatedText = ({ calculated: by }: MaybeCalculated): string | undefined => {
  if (by === undefined) return undefined;
  const inputs = by.with.map(({ input, is }) => `${input} ${is}`).join(', ');
  const name = `calculated by ${by.calculation}${by.result === undefined ? '' : ` (${by.result})`} from ${inputs}`;
  return [name, by.working, by.formula, ...(by.warnings ?? [])].filter((part) => part !== undefined).join('; ');
};

const readingRows = (reading: RecordReading, naming: Naming): readonly (readonly Runs[])[] =>
  reading.entered.flatMap((taken) => {
    const place = joined([taken.position, taken.n === undefined ? undefined : `time ${taken.n}`]);
    const note = joined(
      [
        calculatedText(taken),
        taken.tool && `with ${taken.tool}`,
        taken.uncertainty?.join(', '),
        taken.reason && `taken again: ${taken.reason}`,
        setAside(taken['set-aside']),
      ],
      '; ',
    );
    const number = `${taken.number}`;
    return [
      ...taken.struck.map((one): readonly Runs[] => [
        [number],
        place,
        [{ struck: one.value }, ...calculatedMark(one)],
        [],
        [stampText(one, naming)],
        joined([calculatedText(one), struckReason(one, naming)], '; '),
      ]),
      [
        [number],
        place,
        [{ strong: taken.value }, ...calculatedMark(taken)],
        verdictMark(taken.verdict),
        [stampText(taken, naming)],
        note,
      ],
    ];
  });

const sidesText = (reading: RecordReading): string | undefined =>
  reading['other-sides']
    ?.map(({ side, job, values }) => `${side}: ${values.join(', ') || 'nothing yet'} (${job})`)
    .join('; ');

const kinds: Readonly<Record<string, string>> = { count: 'a count', text: 'in words', choice: 'one of several' };

const kindText = (unit: string): string => own(kinds, unit) ?? `in ${unit}`;

/** A reading: its limits, and every try of it with those that were struck. */
export const readingBlocks = (reading: RecordReading, naming: Naming): readonly Block[] => [
  heading(3, reading.ask ?? reading.reading),
  ...facts(
    ['Reading', [{ code: reading.reading }, `, ${kindText(reading.unit)}`]],
    ['Limits', reading.limits],
    ['Limits, filled in', reading['limits-now']],
    ['Choices', reading.choices?.join(', ')],
    ['Accepted', reading.accept?.join(', ')],
    ['Between the sides', reading.twin],
    ['Other sides', sidesText(reading)],
    ['Decided', reading.guarded ? 'guarded: the uncertainty of the tool is kept off the limits' : undefined],
    ['Entered', reading.blind ? 'before the limits were shown' : undefined],
    ['Tries', reading['tries-allowed'] === undefined ? undefined : `at most ${reading['tries-allowed']}`],
    ['Source', reading.source],
  ),
  ...(reading.entered.length === 0 ? facts(['Value', 'none was entered']) : []),
  ...table(['Try', 'Where', 'Entered', 'Verdict', 'By, when', 'Remarks'], readingRows(reading, naming)),
];

/** A calculated value with its working. */
export const resultBlocks = (result: RecordResult): readonly Block[] => [
  heading(3, `Result ${result.result}`),
  ...facts(
    ['Calculation', [{ code: result.calculation }]],
    ['From', result.with.map(({ input, is }) => `${input}: ${is}`).join('; ')],
    [
      'Value',
      result.value === undefined ? undefined : joined([[{ strong: result.value }], verdictMark(result.verdict)], ' '),
    ],
    ['No value', result.missing],
    ['Working', result.working],
    ['Formula', result.formula],
    ['Caution', result.caution],
    ['Limits', result.limits],
    ['Limits, filled in', result['limits-now']],
    ['Mind', result.warnings?.join('; ')],
    ['Source', result.source],
  ),
];

const fastenerFacts = (act: RecordFastener, naming: Naming): readonly Block[] =>
  facts(
    ...act.struck.map((one): readonly [string, Runs] => [
      `Fastener ${act.fastener}`,
      [{ struck: one.value }, `; ${stampText(one, naming)}; ${struckReason(one, naming)}`],
    ]),
    [`Fastener ${act.fastener}`, joined([verdictMark(act.verdict), act.mark ? '✓ marked' : 'no mark'])],
    ['Wrench showed', act.torque === undefined ? undefined : [{ strong: act.torque }]],
    ['Wrench had to show', act['wrench-limits']],
    ['Drag', act.drag],
    ['At the fastener', act['at-fastener']],
    ['By hand', act['finger-tight']],
    ['Past finger-tight', act.past],
    ['Tool', act.tool],
    ['Entered', stampText(act, naming)],
    ['Set aside', setAside(act['set-aside'])],
  );

/** The part's own method, and each fastener as it was entered. */
export const tightenBlocks = (tighten: RecordTighten, naming: Naming): readonly Block[] => [
  heading(3, 'Tightening'),
  ...facts(
    ['Fasteners', `${tighten.fasteners}, in the order ${tighten.order.join(', ')}`],
    ['Torque', tighten.torque],
    ['Drag', tighten.drag],
    ['Adapter', tighten.adapter],
    ['Wrench', tighten.wrench],
    ['Finger-tight', tighten['finger-tight']],
    ['Past finger-tight', tighten.past],
    ['Tries', tighten['tries-allowed'] === undefined ? undefined : `at most ${tighten['tries-allowed']}`],
    ['Never', tighten.never],
    ['Mark', tighten.mark ? 'a torque mark on each' : undefined],
    ['Source', tighten.source],
  ),
  ...tighten.entered.flatMap((act) => fastenerFacts(act, naming)),
];
