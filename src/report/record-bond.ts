import type { RecordBatch, RecordCure, RecordMix } from '../record/document-step.ts';
import { bad, good, open } from './marks.ts';
import { instantText, stampText, type Naming } from './people.ts';
import { facts, heading, joined, paragraph, table, type Block, type Run, type Runs } from './sheet.ts';

const sampleRuns = (batch: RecordBatch, naming: Naming): Runs | undefined => {
  if (!batch.sample) return undefined;
  const { sample, broken } = batch.sample;
  if (!broken) return [`${sample}: `, open('not broken yet')];
  const mark: Run = broken.result === 'held' ? good('held') : bad('failed');
  return joined([[`${sample}: `, mark], broken.remark, `broken by ${stampText(broken, naming)}`]);
};

const batchBlocks = (batch: RecordBatch, naming: Naming): readonly Block[] => [
  heading(3, `Batch ${batch.batch}`),
  ...facts(
    ['Ratio', [batch.ratio === 'within' ? good('within') : bad('outside')]],
    [
      'Mixed to',
      batch['mixed-to'] &&
        `${batch['mixed-to'].ratio.map(({ part, share }) => `${part} ${share}`).join(' : ')}, the page of its time`,
    ],
    ['Discarded', batch.discarded && `${batch.discarded.because} (${stampText(batch.discarded, naming)})`],
    ['Mixed', stampText(batch, naming)],
    ['Helpers', batch.with.map(naming).join(', ')],
    ['Lots', batch.lots.map(({ part, number }) => `${part}: ${number}`).join('; ')],
    ['Temperature', batch.temperature],
    ['Sample', sampleRuns(batch, naming)],
    ['Set aside', batch['set-aside'] && `by entry ${batch['set-aside']}; it stays on record`],
  ),
  ...table(
    ['Part', 'Entered', 'Target', 'From', 'To'],
    batch.weights.map(({ part, weight, target, from, to }) => [
      [part],
      [{ strong: weight }],
      target === undefined ? [] : [target],
      from === undefined ? [] : [from],
      to === undefined ? [] : [to],
    ]),
  ),
  ...table(
    ['Struck', 'By, when', 'Why'],
    batch.struck.map((one) => [
      [{ struck: one.value }],
      [stampText(one, naming)],
      [`struck by ${naming(one['struck-by'])}, ${instantText(one['struck-at'])}: ${one.reason}`],
    ]),
  ),
];

/** The mix and every cup of it, the discarded ones too. */
export const mixBlocks = (mix: RecordMix, naming: Naming): readonly Block[] => [
  heading(3, `Mix of ${mix.material}`),
  ...facts(
    [
      'Ratio',
      `${mix.ratio.map(({ part, share }) => `${part} ${share}`).join(' : ')}, by ${mix.by}, ± ${mix.tolerance}`,
    ],
    ['Batch', mix.batch],
    ['Pot life', mix['pot-life'].join('; ')],
    [
      'Pot life ended',
      mix['pot-life-end'] &&
        joined([
          instantText(mix['pot-life-end'].ends),
          `of ${mix['pot-life-end'].batch}`,
          mix['pot-life-end'].hottest && `hottest entered ${mix['pot-life-end'].hottest}`,
        ]),
    ],
    ['Source', mix.source],
  ),
  ...mix.batches.flatMap((batch) => batchBlocks(batch, naming)),
];

const intervalRow = ({ from, to, temperature, counted, why }: RecordCure['intervals'][number]): readonly Runs[] => [
  [instantText(from)],
  [instantText(to)],
  [temperature],
  [counted ? good('counts') : bad(`counts nothing: ${why ?? ''}`)],
];

/** Clock hours and counted hours side by side. */
export const cureBlocks = (cure: RecordCure): readonly Block[] => [
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
    ['Stage', 'Needs', 'Counted', 'Of', ''],
    cure.stages.map(({ stage, needs, counted, needed, reached }) => [
      [stage],
      [needs.join('; ')],
      [{ strong: counted }],
      [needed],
      [reached ? good('reached') : open('not reached')],
    ]),
  ),
  ...table(['From', 'To', 'At', 'Counted'], cure.intervals.map(intervalRow)),
  ...table(
    ['Temperature entered for', 'Value', 'Lowest since', 'Entry', 'Clock'],
    cure.readings.map(({ when, temperature, lowest, entry, doubtful }) => [
      [instantText(when)],
      [temperature],
      lowest === undefined ? [] : [lowest],
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
