import type { Draft } from 'immer';
import { err, ok, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { Mix, Step } from '../../procedure/model.ts';
import { stepOf } from '../../procedure/plan.ts';
import { minus, printQuantity, type Quantity } from '../../quantity/quantity.ts';
import { printInstant } from '../../quantity/time.ts';
import { pendingOf } from '../breach.ts';
import { perform, stampOf, touch, voidReleases, type JobDraft } from '../draft.ts';
import { lotsFor } from '../lots.ts';
import { inRatio, mixTargets, partsSoFar, potLifeMs, readWeights } from '../potlife.ts';
import { mixRefusals } from '../refusals/mixing.ts';
import type { EntryOf } from '../entry.ts';
import { isBuiltWith, jointsOf } from '../joints.ts';
import { shopAge } from '../shop.ts';
import type { Batch, JobState } from '../state.ts';
import { hottestSince } from '../temperatures.ts';
import { toolAsked } from '../tool-asked.ts';
import { thermometerFault } from '../thermometer.ts';
import { nothingOpen, takeUnless, stepNamed, type Act, type Ask, type Foreseen, type Intended } from './act.ts';
import { putNames } from './correct-names.ts';
import type { Correctable } from './correctable.ts';

type Weights = Readonly<Record<string, string>>;

/** Why a batch counts as discarded that nobody discarded. */
const outsideRatio = 'outside its ratio';

const unknownPart = (mixAct: Mix, names: readonly string[]): Fault | undefined => {
  const known = mixAct.ratio.map((one) => one.part);
  const other = names.find((part) => !known.includes(part));
  return other === undefined ? undefined : unknownId(`the mix has no part '${other}'`, other, known);
};

/** The weights as quantities, part by part in the order of the ratio. */
const weighed = (mix: Mix, weights: Weights): Outcome<readonly Quantity[]> => {
  const read = readWeights(mix, weights);
  if (!('part' in read)) return ok(read.parts);
  const code = read.why === 'is missing' ? 'field-missing' : 'value-unreadable';
  return err(usage(code, `${read.part} ${read.why}`, `give weights.${read.part} as weighed`));
};

const hottestNow = ({ job, data, moment }: Ask<'mix'>, step: Step): ReturnType<typeof hottestSince> => {
  const typed = data.temperature;
  const mixed = {
    place: step.place ?? '',
    at: moment.ms,
    own: '',
    notOlder: shopAge(job),
    ...(typed === undefined ? {} : { typed }),
  };
  return hottestSince(moment.around, mixed, moment.ms);
};

const bandsText = (mix: Mix, base: Quantity): string =>
  mixTargets(mix, base)
    .map((one) => `${one.part} ${printQuantity(one.low)} to ${printQuantity(one.high)}`)
    .join(', ');

const toldOfBatch = (
  ask: Ask<'mix'>,
  step: Step,
  mix: Mix,
  batch: { readonly id: string; readonly parts: readonly Quantity[]; readonly isInRatio: boolean },
): readonly string[] => {
  const base = batch.parts[0];
  if (ask.data.discarded === true) return [`${batch.id}: discarded`];
  if (!batch.isInRatio && base)
    return [`${batch.id} is outside its ratio (${bandsText(mix, base)}): discarded, mix another`];
  if (mix.potLife.length === 0) return [batch.id];
  const ends = ask.moment.ms + potLifeMs(mix.potLife, hottestNow(ask, step)?.base);
  return [`${batch.id}: apply it by ${printInstant(ends, ask.moment.offset)}`];
};

/** What is left of each lot after this batch, where the stock knows its quantity; says so where a lot is used up. */
const toldOfLots = ({ job, moment }: Ask<'mix'>, mix: Mix, parts: readonly Quantity[]): readonly string[] => {
  const used = lotsFor(job, mix, moment.around).map(({ number }, index) => ({ number, part: parts[index] }));
  return [...new Set(used.map(({ number }) => number))].flatMap((number) => {
    const there = number === undefined ? undefined : moment.around.lot(mix.material, number)?.left;
    if (there === undefined) return [];
    const mine = used.flatMap((one) => (one.number === number && one.part ? [one.part] : []));
    if (mine.some((part) => part.unit.dimension !== there.unit.dimension)) return [];
    const left = mine.reduce((rest, part) => minus(rest, part), there);
    return left.amount.compare(0) > 0
      ? [`${mix.material} ${number ?? ''}: ${printQuantity(left)} left`]
      : [`${mix.material} ${number ?? ''} is used up: ${printQuantity(there)} were left of it by the stock`];
  });
};

/** What a corrected ratio means for a batch. */
const toldOfCorrected = (job: JobState, batch: Batch, isInRatio: boolean): readonly string[] => {
  if (isInRatio && batch.discarded?.because === outsideRatio)
    return [`${batch.batch} is in its ratio and counts; if it was thrown away, discard it`];
  if (isInRatio || batch.discarded) return [];
  return isBuiltWith(job, batch)
    ? [`${batch.batch} is outside its ratio, and was used: every joint of it is in doubt`]
    : [`${batch.batch} is outside its ratio: discarded, mix another`];
};

const batchOf = <B extends Batch>({ batches }: { readonly batches: readonly B[] }, target: string): B | undefined =>
  batches.find(({ entry }) => entry === target);

/** The page by which a batch is judged: that to which it was mixed. */
const mixOf = ({ plan }: JobState, batch: Batch): Mix | undefined => batch.mixedTo ?? stepOf(plan, batch.step)?.mix;

/** A cup outside its ratio counts as discarded, unless it was used; its joints are then in doubt. One inside it was not discarded for that. */
const putDiscarded = (draft: JobDraft, batch: Draft<Batch>, entry: EntryOf<'correct'>, job: JobState): void => {
  const { discarded, inRatio: isInRatio } = batch;
  if (isInRatio && discarded?.because === outsideRatio) delete batch.discarded;
  const isUsed = isBuiltWith(job, batch as Batch);
  if (!isInRatio && !discarded && !isUsed) batch.discarded = { ...stampOf(entry), because: outsideRatio };
  // Whoever released a joint of it did not know that.
  if (!isInRatio && !discarded && isUsed)
    voidReleases(
      draft,
      job.plan,
      jointsOf(job, batch as Batch).flatMap(({ step }) => step ?? []),
      entry,
    );
  if (isInRatio && !batch.discarded && !batch.sample && mixOf(job, batch as Batch)?.sample)
    batch.sample = { id: batch.batch };
};

/** Corrects a batch, which is judged anew by the page to which it was mixed. */
const correctedMix: Correctable<'mix'> = {
  fields: ['weights', 'sample', 'temperature', 'with'],
  otherwise: 'discard the batch and mix another',
  // A bare value means the one part that was weighed; where there are several, the correction must name the part.
  bare: () => undefined,
  said: (job, target) => {
    const batch = batchOf(job, target);
    if (!batch) return undefined;
    const { weights, temperature, sample, with: names } = batch;
    return {
      weights,
      ...(temperature === undefined ? {} : { temperature }),
      ...(sample === undefined ? {} : { sample: sample.id }),
      ...(names.length === 0 ? {} : { with: names }),
    };
  },
  judge: ({ job }, { target, now }) => {
    const batch = batchOf(job, target);
    const part = batch && mixOf(job, batch);
    if (!batch || !part) return err(usage('value-unreadable', `${target}: no such mix`, 'enter a remark'));
    const { weights = {}, temperature } = now;
    const fault = unknownPart(part, Object.keys(weights)) ?? thermometerFault('temperature', temperature);
    if (fault) return err(fault);
    const right = weighed(part, weights);
    if (!right.ok) return right;
    const isInRatio = inRatio(part, right.value);
    return ok({
      data: { 'in-ratio': isInRatio },
      verdict: isInRatio ? 'within' : 'outside',
      told: toldOfCorrected(job, batch, isInRatio),
    });
  },
  put: (draft, { target, now, entry }, job) => {
    const batch = batchOf(draft, target);
    if (!batch) return;
    const { weights = {}, sample, temperature, with: names = [] } = now;
    batch.weights = weights;
    batch.inRatio = entry.data['in-ratio'] === true;
    if (sample !== undefined) batch.sample = { ...batch.sample, id: sample };
    if (temperature === undefined) delete batch.temperature;
    else batch.temperature = temperature;
    batch.with = [...names];
    putNames(draft, target, names, job);
    putDiscarded(draft, batch, entry, job);
  },
  steps: (job, target) => [batchOf(job, target)?.step].filter((step) => step !== undefined),
};

const foresee = ({ job, moment, data }: Intended<'mix'>): Foreseen => {
  const step = stepOf(job.plan, data.step ?? '');
  if (!step?.mix || data.discarded === true) return { step, refusals: [] };
  const tool = toolAsked(job, moment.around, step.mix.tool, data.tool);
  const brought = {
    parts: partsSoFar(step.mix, data.weights ?? {}),
    temperature: data.temperature,
    tool: tool.ok ? tool.value : undefined,
  };
  return { step, refusals: mixRefusals(job, step, moment, brought) };
};

/** Mixes a batch. A batch outside its ratio is recorded as discarded, and the step stays open for another. */
export const mix: Act<'mix'> = {
  foresee,
  decide: (ask) => {
    const { job, data, moment } = ask;
    const step = stepNamed(ask, data.step);
    if (!step.ok) return step;
    const part = step.value.mix;
    if (!part) return err(usage('unknown-id', `${step.value.step} has nothing to mix`, 'look at the step again'));
    const fault = unknownPart(part, Object.keys(data.weights)) ?? thermometerFault('temperature', data.temperature);
    if (fault) return err(fault);
    const parts = weighed(part, data.weights);
    if (!parts.ok) return parts;
    const isInRatio = inRatio(part, parts.value);
    const tool = toolAsked(job, moment.around, part.tool, data.tool);
    if (!tool.ok) return tool;
    const id = moment.around.nextBatch;
    const lots = lotsFor(job, part, moment.around).flatMap(({ part: name, number }) =>
      number === undefined ? [] : [[name, number] as const],
    );
    return takeUnless(ask, step.value, foresee({ ...ask, open: nothingOpen }).refusals, {
      data: {
        batch: id,
        lots: Object.fromEntries(lots),
        'in-ratio': isInRatio,
        ...(tool.value === undefined ? {} : { tool: tool.value }),
      },
      verdict: isInRatio ? 'within' : 'outside',
      told: [
        ...toldOfBatch(ask, step.value, part, { id, parts: parts.value, isInRatio }),
        ...toldOfLots(ask, part, parts.value),
      ],
    });
  },
  evolve: (draft, entry, job) => {
    const { step, batch: id, weights, lots, 'in-ratio': isInRatio, discarded, sample, temperature } = entry.data;
    const { with: names = [], tool } = entry.data;
    const part = stepOf(job.plan, step)?.mix;
    const isThrown = discarded === true || !isInRatio;
    const because = isInRatio ? 'not used' : outsideRatio;
    const batch: Batch = {
      ...stampOf(entry),
      ...pendingOf(entry),
      batch: id,
      step,
      weights,
      lots,
      inRatio: isInRatio,
      with: names,
      ...(temperature === undefined ? {} : { temperature }),
      ...(tool === undefined ? {} : { tool }),
      ...(isThrown ? { discarded: { ...stampOf(entry), because } } : {}),
      ...(part?.sample && (!isThrown || sample !== undefined) ? { sample: { id: sample ?? id } } : {}),
    };
    draft.batches.push(batch as Draft<Batch>);
    perform(draft, step, entry, names);
    touch(draft, step, entry);
    // Whoever released the mix has not seen a further cup.
    if (own(job.steps, step)?.state === 'done') voidReleases(draft, job.plan, [step], entry);
  },
  words: (data) =>
    Object.entries(data.weights)
      .map(([part, weight]) => `${part} ${weight}`)
      .join(', '),
  correct: correctedMix,
};
