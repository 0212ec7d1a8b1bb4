import type { Surroundings } from '../job/surroundings.ts';
import { mixTargets, potLifeNow } from '../job/potlife.ts';
import type { Batch, JobState } from '../job/state.ts';
import type { Mix, Step } from '../procedure/model.ts';
import { parseQuantity, printQuantity } from '../quantity/quantity.ts';
import type { RecordBatch, RecordMix } from './document-step.ts';
import { present, recordStampOf } from './plain.ts';
import { struckOf } from './struck.ts';
import { asOf, instantMs, printed } from './times.ts';
import { own } from '../fault/own.ts';

type Sample = NonNullable<Batch['sample']>;

const weightsOf = (mix: Mix, batch: Batch): RecordBatch['weights'] => {
  const base = parseQuantity(own(batch.weights, mix.ratio[0]?.part ?? '') ?? '');
  const targets = base.ok ? mixTargets(mix, base.value) : [];
  return Object.entries(batch.weights).map(([part, weight]) => {
    const target = targets.find((one) => one.part === part);
    return present({
      part,
      weight,
      target: target && printQuantity(target.target),
      from: target && printQuantity(target.low),
      to: target && printQuantity(target.high),
    });
  });
};

const brokenOf = ({ broken }: Sample): NonNullable<RecordBatch['sample']>['broken'] =>
  broken && present({ result: broken.result, remark: broken.remark, ...recordStampOf(broken) });

const batchOf = (mix: Mix, batch: Batch): RecordBatch =>
  present({
    batch: batch.batch,
    weights: weightsOf(mix, batch),
    ratio: batch.inRatio ? ('within' as const) : ('outside' as const),
    temperature: batch.temperature,
    lots: Object.entries(batch.lots).map(([part, number]) => ({ part, number })),
    with: batch.with,
    ...recordStampOf(batch),
    discarded: batch.discarded && { because: batch.discarded.because, ...recordStampOf(batch.discarded) },
    sample: batch.sample && present({ sample: batch.sample.id, broken: brokenOf(batch.sample) }),
    struck: struckOf(batch.struck),
    'mixed-to': batch.mixedTo && {
      ratio: batch.mixedTo.ratio,
      by: batch.mixedTo.by,
      tolerance: batch.mixedTo.tolerance.text,
    },
    'set-aside': batch.superseded,
  });

const potLifeEnd = (job: JobState, step: Step, around: Surroundings): RecordMix['pot-life-end'] => {
  const end = potLifeNow(job, [step.step], around, instantMs(asOf(job)));
  return end && present({ batch: end.batch, ends: printed(job, end.ends), hottest: end.hottest });
};

/** The mix of one step, and every cup of it, the discarded ones included. */
export const mixRecorded = (job: JobState, step: Step, mix: Mix, around: Surroundings): RecordMix =>
  present({
    material: mix.material,
    ratio: mix.ratio,
    by: mix.by,
    tolerance: mix.tolerance.text,
    batch: mix.batch?.text,
    'pot-life': mix.potLife.map(({ time, at }) => (at ? `${time.text} at ${at.text}` : time.text)),
    sample: mix.sample,
    source: mix.source,
    'pot-life-end': potLifeEnd(job, step, around),
    batches: job.batches
      .filter((batch) => batch.step === step.step)
      .map((batch) => batchOf(batch.mixedTo ?? mix, batch)),
  });
