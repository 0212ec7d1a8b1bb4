import type { Draft } from 'immer';
import { err, ok, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { Mix, Step } from '../../procedure/model.ts';
import { stepOf } from '../../procedure/plan.ts';
import { minus, printQuantity, type Quantity } from '../../quantity/quantity.ts';
import { printInstant } from '../../quantity/time.ts';
import { pendingOf } from '../breach.ts';
import { perform, stampOf, touch } from '../draft.ts';
import { lotsFor } from '../lots.ts';
import { inRatio, mixTargets, potLifeMs, readWeights } from '../potlife.ts';
import { mixRefusals } from '../refusals/mixing.ts';
import { shopAge } from '../shop.ts';
import type { Batch, Struck } from '../state.ts';
import { hottestSince } from '../temperatures.ts';
import { toolAsked } from '../tool-asked.ts';
import { thermometerFault } from '../thermometer.ts';
import { takeUnless, stepNamed, type Act, type Ask, type Correctable } from './act.ts';
import { fieldsNamed, fieldsText, struckBy } from './struck.ts';

type Weights = Readonly<Record<string, string>>;

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

/** Mixes a batch. A batch outside its ratio is recorded as discarded, and the step stays open for another. */
export const mix: Act<'mix'> = {
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
    const brought = { parts: parts.value, temperature: data.temperature, tool: tool.value };
    const refusals = data.discarded === true ? [] : mixRefusals(job, step.value, moment, brought);
    return takeUnless(ask, step.value, refusals, {
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
    const because = isInRatio ? 'not used' : 'outside its ratio';
    const batch: Batch = {
      ...stampOf(entry),
      ...pendingOf(entry),
      batch: id,
      step,
      weights,
      lots,
      inRatio: isInRatio,
      with: names,
      struck: [],
      ...(temperature === undefined ? {} : { temperature }),
      ...(tool === undefined ? {} : { tool }),
      ...(isThrown ? { discarded: { ...stampOf(entry), because } } : {}),
      ...(part?.sample && (!isThrown || sample !== undefined) ? { sample: { id: sample ?? id } } : {}),
    };
    draft.batches.push(batch as Draft<Batch>);
    perform(draft, step, entry, names);
    touch(draft, step, entry);
  },
  words: (data) =>
    Object.entries(data.weights)
      .map(([part, weight]) => `${part} ${weight}`)
      .join(', '),
};

/** A bare value means the one part that was weighed. Where there are several parts, the correction must name the part. */
const barePart = (weights: Weights): string => Object.keys(weights)[0] ?? '';

/** Corrects the weights of a batch. The batch is judged anew by the page to which it was mixed. */
export const correctedMix: Correctable = {
  decide: (ask) => {
    const { job, data } = ask;
    const batch = job.batches.find((one) => one.entry === data.entry);
    if (!batch) return undefined;
    const part = batch.mixedTo ?? stepOf(job.plan, batch.step)?.mix;
    if (!part) return err(usage('value-unreadable', `${batch.batch}: no such mix`, 'enter a remark'));
    const parts = Object.keys(batch.weights);
    if (typeof data.value === 'string' && parts.length > 1)
      return err(
        usage('field-missing', `${batch.batch} has ${parts.join(', ')}`, 'say which: give each part as value.PART'),
      );
    const { temperature, ...fields } = fieldsNamed(data.value, barePart(batch.weights));
    const fault = unknownPart(part, Object.keys(fields)) ?? thermometerFault('temperature', temperature);
    if (fault) return err(fault);
    const right = readWeights(part, { ...batch.weights, ...fields });
    if ('part' in right)
      return err(
        usage('value-unreadable', `${batch.batch}: ${right.part} ${right.why}`, 'give each part as value.PART'),
      );
    const isInRatio = inRatio(part, right.parts);
    return takeUnless(ask, undefined, [], {
      data: { 'in-ratio': isInRatio },
      verdict: isInRatio ? 'within' : 'outside',
    });
  },
  strike: (draft, entry) => {
    const batch = draft.batches.find((one) => one.entry === entry.data.entry);
    if (!batch) return undefined;
    const { temperature, ...fields } = fieldsNamed(entry.data.value, barePart(batch.weights));
    const wasTyped = temperature === undefined ? {} : { temperature: batch.temperature };
    batch.struck.push(struckBy(entry, batch, fieldsText({ ...batch.weights, ...wasTyped })) as Draft<Struck>);
    batch.weights = { ...batch.weights, ...fields };
    if (temperature !== undefined) batch.temperature = temperature;
    batch.inRatio = entry.data['in-ratio'] === true;
    return { step: batch.step };
  },
};
