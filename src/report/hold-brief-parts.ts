import { refusedWords } from '../job/breach.ts';
import type { RecordCalculated } from '../record/calculated.ts';
import type { RecordCure } from '../record/parts/cure.ts';
import type { RecordMix } from '../record/parts/mix.ts';
import type { RecordReading, RecordTry } from '../record/parts/reading.ts';
import type { RecordResult } from '../record/parts/result.ts';
import type { RecordTighten } from '../record/parts/tighten.ts';
import type { RecordRefused } from '../record/refused.ts';
import type { RecordStruck } from '../record/shapes.ts';
import { instantWords, joinedText, line, timeOf, type BriefLine, type BriefTone } from './hold-brief-line.ts';
import type { Naming } from './people.ts';

const tones: Readonly<Record<NonNullable<RecordTry['verdict']>, BriefTone>> = {
  within: 'good',
  'within, twin open': 'open',
  outside: 'bad',
  undecided: 'open',
};

const toneOf = (verdict: RecordTry['verdict'], refused?: RecordRefused): BriefTone =>
  refused !== undefined && refused.accepted === undefined ? 'bad' : verdict === undefined ? 'plain' : tones[verdict];

const refusedText = (refused: RecordRefused | undefined): string | undefined =>
  refused && `refused, ${refusedWords(refused.codes)}: ${refused.codes.join(' ')} ${refused.reason}`;

const struckLines = (struck: readonly RecordStruck[], naming: Naming): readonly BriefLine[] =>
  struck.map((one) =>
    line(
      `  struck ${joinedText(one.value, calculatedText(one.calculated))}: ${one.reason} (${naming(one.by)}, ${timeOf(one)}; struck by ${naming(one['struck-by'])})`,
      'quiet',
    ),
  );

const calculatedText = (by: RecordCalculated | undefined): string | undefined =>
  by &&
  `calculated by ${[by.calculation, by.result].filter((one) => one !== undefined).join(' ')}: ${by.with.map(({ input, is }) => `${input} ${is}`).join(', ')}`;

/** Where in a reading a value was taken, and which try of it it is. */
const placeText = ({ position, n, number }: RecordTry): string =>
  joinedText(position, n === undefined ? undefined : `time ${n}`, number > 1 ? `try ${number}` : undefined);

/** Entered once and within its limits: the time of its step says enough of it. */
const isPlain = ({
  number = 1,
  verdict,
  refused,
  reason,
}: { readonly number?: number } & Pick<RecordTry, 'verdict' | 'refused' | 'reason'>): boolean =>
  number === 1 && refused === undefined && reason === undefined && (verdict === undefined || verdict === 'within');

/** The value as it was entered, with everything that was said of it. */
const tryText = (taken: RecordTry): string =>
  joinedText(
    taken.value,
    taken.verdict === 'within' ? undefined : taken.verdict,
    calculatedText(taken.calculated),
    taken.tool && `with ${taken.tool}`,
    taken.uncertainty?.join(' '),
    taken.reason && `again: ${taken.reason}`,
    refusedText(taken.refused),
    taken['set-aside'] && 'set aside',
    isPlain(taken) ? undefined : timeOf(taken),
  );

const sidesLines = (reading: RecordReading): readonly BriefLine[] => [
  ...(reading['other-sides'] ?? []).map(({ side, values }) => line(`  ${side}: ${values.join(', ') || 'nothing yet'}`)),
  ...(reading.difference ? [line(`  difference ${reading.difference.join(', ')}, ${reading.twin ?? ''}`)] : []),
];

/** Every try of a reading beneath its limits; one value alone on a line with them. */
export const readingLines = (reading: RecordReading, naming: Naming): readonly BriefLine[] => {
  const name = reading.ask ?? reading.reading;
  const limits =
    reading['limits-now'] ?? reading.limits ?? (reading.accept ? `accepted: ${reading.accept.join(', ')}` : undefined);
  const by = [...new Set(reading.entered.map((taken) => naming(taken.by)))].join(', ');
  const [only, ...more] = reading.entered;
  const sides = sidesLines(reading);
  if (only && more.length === 0 && only.struck.length === 0) {
    const place = placeText(only);
    const text = `${joinedText(name, place)}: ${joinedText(tryText(only), limits, reading.guarded && 'guarded')}`;
    return [line(text, toneOf(only.verdict, only.refused)), ...sides];
  }
  return [
    line(joinedText(name, limits, reading.guarded && 'guarded'), 'strong'),
    ...(reading.entered.length === 0 ? [line('  no value', 'open')] : []),
    ...reading.entered.flatMap((taken) => {
      const place = placeText(taken);
      const who = by === naming(taken.by) ? '' : `, ${naming(taken.by)}`;
      return [
        line(`${place === '' ? '' : `${place}: `}${tryText(taken)}${who}`, toneOf(taken.verdict, taken.refused)),
        ...struckLines(taken.struck, naming),
      ];
    }),
    ...sides,
  ];
};

export const resultLines = (result: RecordResult): readonly BriefLine[] => [
  line(
    joinedText(
      `${result.result.replaceAll('-', ' ')}: ${result.value ?? 'not calculated'}`,
      result.verdict,
      result['limits-now'] ?? result.limits,
    ),
    toneOf(result.verdict),
  ),
];

type Fastened = RecordTighten['entered'][number];

/** An entry that says no more than that the torque mark is on. */
const isMarkAlone = ({
  mark,
  torque,
  past,
  drag,
  reason,
  refused,
  tool,
  struck,
  'finger-tight': turns,
}: Fastened): boolean =>
  mark && struck.length === 0 && [torque, past, drag, reason, refused, tool, turns].every((one) => one === undefined);

const fastenerText = (act: Fastened, naming: Naming): string =>
  joinedText(
    act.drag && `drag ${act.drag}`,
    act.torque && `pulled ${act.torque}`,
    act['finger-tight'] && `by hand ${act['finger-tight']}`,
    act.past && `past ${act.past}`,
    act.verdict === 'within' ? undefined : act.verdict,
    act['wrench-limits'] && `limits ${act['wrench-limits']}`,
    act['at-fastener'] && `at the fastener ${act['at-fastener']}`,
    act.mark ? 'marked' : undefined,
    act.tool && `with ${act.tool}`,
    act.reason && `again: ${act.reason}`,
    refusedText(act.refused),
    act['set-aside'] && 'set aside',
    isPlain(act) ? undefined : `${naming(act.by)}, ${timeOf(act)}`,
  );

/** Each fastener on one line: its drag, what the wrench showed and what it had to show; every retry on a line of its own, and the marks on one. */
export const fastenerLines = (tighten: RecordTighten, naming: Naming): readonly BriefLine[] => {
  const marked = tighten.entered.filter(isMarkAlone).map(({ fastener }) => fastener);
  return [
    line(
      joinedText(`${tighten.fasteners} fasteners`, tighten.torque, tighten.past && `past ${tighten.past}`),
      'strong',
    ),
    ...tighten.entered.flatMap((act) =>
      isMarkAlone(act)
        ? []
        : [
            line(`${act.fastener}: ${fastenerText(act, naming)}`, toneOf(act.verdict, act.refused)),
            ...struckLines(act.struck, naming),
          ],
    ),
    ...(marked.length > 0 ? [line(`marked: ${marked.join(', ')}`, 'good')] : []),
  ];
};

export const mixLines = (mix: RecordMix, naming: Naming): readonly BriefLine[] => [
  ...mix.batches.flatMap((batch) => {
    const { sample, discarded } = batch;
    return [
      line(
        joinedText(
          `${batch.batch}: ${batch.weights.map(({ part, weight }) => `${part} ${weight}`).join(', ')}`,
          batch.ratio === 'within' ? 'in its ratio' : 'OUT of its ratio',
          batch.temperature,
          batch.tool && `with ${batch.tool}`,
          batch.lots.map(({ part, number }) => `${part} ${number}`).join(', '),
          batch.with.length > 0 ? `with ${batch.with.map(naming).join(', ')}` : undefined,
          refusedText(batch.refused),
          batch['set-aside'] && 'set aside',
          `${naming(batch.by)}, ${timeOf(batch)}`,
        ),
        batch.ratio === 'within' && batch.refused === undefined ? 'good' : 'bad',
      ),
      ...struckLines(batch.struck, naming),
      ...(discarded
        ? [line(`  discarded ${timeOf(discarded)}: ${discarded.because} (${naming(discarded.by)})`, 'open')]
        : []),
      ...(sample
        ? [
            line(
              `  sample ${sample.sample}: ${sample.broken ? joinedText(sample.broken.result, sample.broken.remark, refusedText(sample.broken.refused), `${naming(sample.broken.by)}, ${timeOf(sample.broken)}`) : 'not broken yet'}`,
              sample.broken?.result === 'held' ? 'good' : sample.broken ? 'bad' : 'open',
            ),
            ...(sample.earlier ?? []).map((one) =>
              line(
                `  broken before: ${joinedText(one.result, one.remark, refusedText(one.refused), timeOf(one))}`,
                'open',
              ),
            ),
          ]
        : []),
    ];
  }),
  ...(mix['pot-life-end']
    ? [line(`pot life of ${mix['pot-life-end'].batch} ended ${instantWords(mix['pot-life-end'].ends)}`)]
    : []),
];

/** What counted of each stage, and every stretch that did not. */
export const cureLines = (cure: RecordCure): readonly BriefLine[] => [
  ...cure.stages.map(({ stage, counted, needed, reached }) =>
    line(
      joinedText(
        `${stage}: counted ${counted} of ${needed}`,
        reached ? 'reached' : 'not reached',
        cure.clock && `clock ${cure.clock}`,
      ),
      reached ? 'good' : 'open',
    ),
  ),
  ...cure.intervals
    .filter(({ counted }) => !counted)
    .map(({ from, to, temperature, why }) =>
      line(
        `did not count: ${instantWords(from)} to ${instantWords(to)}, ${temperature}, ${why ?? ''}, floor ${cure.floor}`,
        'open',
      ),
    ),
];
