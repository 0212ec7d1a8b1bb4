import type { RecordBatch, RecordMix } from '../../record/parts/mix.ts';
import { bad, good, open } from '../marks.ts';
import { instantText, stampText, type Naming } from '../people.ts';
import { facts, heading, joined, table, type Block, type Run, type Runs } from '../sheet.ts';
import { byEntryText, refusedText, struckText } from './entered.ts';
import type { PrintedPart } from './part.ts';

const ratioText = ({ ratio }: Pick<RecordMix, 'ratio'>): string =>
  ratio.map(({ part, share }) => `${part} ${share}`).join(' : ');

type RecordBroken = NonNullable<NonNullable<RecordBatch['sample']>['broken']>;

/** A breaking that counts for nothing has no tick. */
const brokenRuns = (sample: string, broken: RecordBroken, naming: Naming): Runs => {
  const isCounted = broken.refused === undefined || broken.refused.accepted !== undefined;
  const mark: Run = broken.result === 'failed' ? bad('failed') : isCounted ? good('held') : open('held');
  return joined([
    [`${sample}: `, mark],
    broken.remark,
    `broken by ${stampText(broken, naming)}`,
    refusedText(broken.refused),
  ]);
};

const sampleRuns = (batch: RecordBatch, naming: Naming): Runs | undefined => {
  if (!batch.sample) return undefined;
  const { sample, broken } = batch.sample;
  return broken ? brokenRuns(sample, broken, naming) : [`${sample}: `, open('not broken yet')];
};

const batchBlocks = (batch: RecordBatch, naming: Naming): readonly Block[] => [
  heading(3, `Batch ${batch.batch}`),
  ...facts(
    ['Ratio', [batch.ratio === 'within' ? good('within') : bad('outside')]],
    ['Refused', refusedText(batch.refused)],
    ['Mixed to', batch['mixed-to'] && `${ratioText(batch['mixed-to'])}, the page of its time`],
    ['Discarded', batch.discarded && `${batch.discarded.because} (${stampText(batch.discarded, naming)})`],
    ['Mixed', stampText(batch, naming)],
    ['Helpers', batch.with.map(naming).join(', ')],
    ['Lots', batch.lots.map(({ part, number }) => `${part}: ${number}`).join('; ')],
    ['Weighed on', batch.tool],
    ['Temperature', batch.temperature],
    ['Sample', sampleRuns(batch, naming)],
    ...(batch.sample?.earlier ?? []).map((one): readonly [string, Runs] => [
      'Broken before',
      brokenRuns(batch.sample?.sample ?? '', one, naming),
    ]),
    ['Set aside', byEntryText(batch['set-aside'])],
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
    batch.struck.map((one) => [[{ struck: one.value }], [stampText(one, naming)], [struckText(one, naming)]]),
  ),
];

const mixBlocks = (mix: RecordMix, naming: Naming): readonly Block[] => [
  heading(3, `Mix of ${mix.material}`),
  ...facts(
    ['Ratio', `${ratioText(mix)}, by ${mix.by}, ± ${mix.tolerance}`],
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

/** The mix and every batch of it, the discarded ones too. */
export const printedMix: PrintedPart = ({ mix }, naming) => (mix ? mixBlocks(mix, naming) : []);
