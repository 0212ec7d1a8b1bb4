import * as z from 'zod/mini';
import { own } from '../../fault/own.ts';
import { msOf } from '../../job/cure.ts';
import { idsOrNames } from '../../job/people.ts';
import { inRatio, mixTargets, potLifeNow, readWeights } from '../../job/potlife.ts';
import type { Batch, Broken, JobState } from '../../job/state.ts';
import type { Surroundings } from '../../job/surroundings.ts';
import type { Mix, Step } from '../../procedure/model.ts';
import { parseQuantity, printQuantity } from '../../quantity/quantity.ts';
import { foundWrong, passed, type Observation } from '../observe.ts';
import { present, presentOf, recordStampOf } from '../plain.ts';
import {
  instant,
  optionalShape,
  setAside,
  share,
  stamp,
  struck,
  textShape,
  textsShape,
  type Frozen,
} from '../shapes.ts';
import { refused, refusedOf } from '../refused.ts';
import { struckIn } from '../../job/struck.ts';
import { struckOf } from '../struck.ts';
import { asOf, printed } from '../times.ts';
import type { RecordedPart } from './part.ts';

/** What a batch is weighed against. */
const proportions = {
  /** The first part is the base. */
  ratio: z.array(z.strictObject({ part: textShape, share })),
  by: z.enum(['weight', 'volume']),
  tolerance: textShape,
};

const brokenShape = z.strictObject({
  result: z.enum(['held', 'failed']),
  remark: optionalShape(textShape),
  refused,
  ...stamp,
});

const sampleShape = z.strictObject({
  sample: textShape,
  broken: optionalShape(brokenShape),
  /** Earlier breakings, which a rule had refused and a rework set aside. */
  earlier: optionalShape(z.array(brokenShape)),
});

const batchShape = z.strictObject({
  batch: textShape,
  weights: z.array(
    z.strictObject({
      part: textShape,
      weight: textShape,
      /** From the base part's weight; absent for the base itself. */
      target: optionalShape(textShape),
      from: optionalShape(textShape),
      to: optionalShape(textShape),
    }),
  ),
  ratio: z.enum(['within', 'outside']),
  temperature: optionalShape(textShape),
  /** The individual scale. */
  tool: optionalShape(textShape),
  /** The lot of each part, or of `kit`. */
  lots: z.array(z.strictObject({ part: textShape, number: textShape })),
  with: textsShape,
  refused,
  ...stamp,
  discarded: optionalShape(z.strictObject({ because: textShape, ...stamp })),
  /** The piece kept of this batch; without `broken` it has still to be broken. */
  sample: optionalShape(sampleShape),
  struck: z.array(struck),
  /** The ratio to which it was mixed, where the revision that the job follows now has another. */
  'mixed-to': optionalShape(z.strictObject(proportions)),
  'set-aside': setAside,
});

const mixShape = z.strictObject({
  material: textShape,
  ...proportions,
  batch: optionalShape(textShape),
  'pot-life': textsShape,
  sample: z.boolean(),
  source: optionalShape(textShape),
  /** Of the batches in use, the pot life that ended first, at the hottest temperature known for the place. */
  'pot-life-end': optionalShape(z.strictObject({ batch: textShape, ends: instant, hottest: optionalShape(textShape) })),
  batches: z.array(batchShape),
});

export type RecordBatch = Frozen<z.infer<typeof batchShape>>;
export type RecordMix = Frozen<z.infer<typeof mixShape>>;

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

const brokenOf = (job: JobState, broken: Broken): NonNullable<NonNullable<RecordBatch['sample']>['broken']> =>
  present({
    result: broken.result,
    remark: broken.remark,
    refused: refusedOf(job, broken.entry),
    ...recordStampOf(broken),
  });

const sampleOf = (job: JobState, { id, broken, earlier }: NonNullable<Batch['sample']>): RecordBatch['sample'] =>
  present({
    sample: id,
    broken: broken && brokenOf(job, broken),
    earlier: earlier?.map((one) => brokenOf(job, one)),
  });

const batchOf = (job: JobState, mix: Mix, batch: Batch, around: Surroundings): RecordBatch =>
  presentOf<RecordBatch>({
    batch: batch.batch,
    weights: weightsOf(mix, batch),
    ratio: batch.inRatio ? ('within' as const) : ('outside' as const),
    temperature: batch.temperature,
    tool: batch.tool,
    lots: Object.entries(batch.lots).map(([part, number]) => ({ part, number })),
    with: idsOrNames(Object.values(around.people), batch.with),
    ...recordStampOf(batch),
    discarded: batch.discarded && { because: batch.discarded.because, ...recordStampOf(batch.discarded) },
    refused: refusedOf(job, batch.entry),
    sample: batch.sample && sampleOf(job, batch.sample),
    struck: struckOf(struckIn(job, batch.entry)),
    'mixed-to': batch.mixedTo && {
      ratio: batch.mixedTo.ratio,
      by: batch.mixedTo.by,
      tolerance: batch.mixedTo.tolerance.text,
    },
    'set-aside': batch.superseded,
  });

const potLifeEnd = (job: JobState, step: Step, around: Surroundings): RecordMix['pot-life-end'] => {
  const end = potLifeNow(job, [step.step], around, msOf(asOf(job)));
  return end && present({ batch: end.batch, ends: printed(job, end.ends), hottest: end.hottest });
};

const mixOf = (job: JobState, step: Step, mix: Mix, around: Surroundings): RecordMix =>
  presentOf<RecordMix>({
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
      .map((batch) => batchOf(job, batch.mixedTo ?? mix, batch, around)),
  });

/** The mix that a recorded batch was weighed for, as far as deciding its weights again needs it. */
const weighedFor = ({ material, sample, ...now }: RecordMix, batch: RecordBatch): Mix | undefined => {
  const { ratio, by, tolerance: text } = batch['mixed-to'] ?? now;
  const tolerance = parseQuantity(text);
  return tolerance.ok ? { material, ratio, by, sample, tolerance: tolerance.value, potLife: [] } : undefined;
};

const recheckBatch = (mix: Mix, batch: RecordBatch, where: string): readonly Observation[] => {
  const weights = Object.fromEntries(batch.weights.map(({ part, weight }) => [part, weight]));
  const read = readWeights(mix, weights);
  if (!('parts' in read)) return [];
  const found = inRatio(mix, read.parts) ? 'within' : 'outside';
  return found === batch.ratio
    ? [passed(`${batch.batch}: ${found}`, where)]
    : [foundWrong(`the weights of ${batch.batch} are ${found} the ratio, and the record says ${batch.ratio}`, where)];
};

/** The mix of one step, and every batch of it, those that were discarded too. */
export const recordedMix: RecordedPart<'mix', typeof mixShape> = {
  slot: 'mix',
  shape: mixShape,
  write: (job, step, around) => step.mix && mixOf(job, step, step.mix, around),
  uses: (job, step) =>
    job.batches
      .filter((batch) => batch.step === step.step)
      .flatMap(({ batch, tool }) => (tool === undefined ? [] : [{ tool, kind: step.mix?.tool ?? '', what: batch }])),
  recheck: (recorded, step) =>
    recorded.batches.flatMap((batch) => {
      const mix = weighedFor(recorded, batch);
      return mix ? recheckBatch(mix, batch, `steps[${step}].mix.batches[${batch.batch}]`) : [];
    }),
};
