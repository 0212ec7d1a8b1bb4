import { err, ok, refusal, usage, type Fault, type Outcome, type Refusal } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { Mix, Step, Tighten } from '../../procedure/model.ts';
import { minus, parseQuantity, printQuantity, type Quantity } from '../../quantity/quantity.ts';
import { printInstant } from '../../quantity/time.ts';
import { findUnit } from '../../quantity/units.ts';
import { mapOf, textOf, wholeOf, type Taken } from '../entry.ts';
import { fastenerMissing } from '../parts.ts';
import { inRatio, mixTargets, potLifeMs, readWeights } from '../potlife.ts';
import { hottestSince } from '../temperatures.ts';
import type { Batch, FastenerAct } from '../state.ts';
import { fastenerNow, fastenerTorqueNow, verdictOfFastener, wrenchLimits } from '../verdicts.ts';
import { settle, stepAsked, type Ask } from './ask.ts';
import { lotsFor } from '../lots.ts';
import { mixRefusals } from '../refusals/mixing.ts';
import { openingRefusals } from '../refusals/opening.ts';
import { performerRefusals } from '../refusals/power.ts';
import { sampleRefusals } from '../refusals/stage-and-pot-life.ts';
import { toolRefusals } from '../refusals/tools.ts';
import { checkTemperature, toolFor } from './reading.ts';
import { own } from '../../fault/own.ts';

const noPart = (step: Step, part: string): Fault =>
  usage('unknown-id', `${step.step} has nothing to ${part}`, 'look at the step again');

const dimensionFault = (name: string, text: string | undefined, unit: string): Fault | undefined => {
  const named = findUnit(unit);
  if (text === undefined || !named) return undefined;
  const parsed = parseQuantity(text, { unit: named });
  if (!parsed.ok) return { ...parsed.fault, what: `${name}: ${parsed.fault.what}` };
  return parsed.value.unit.dimension === named.dimension
    ? undefined
    : usage('value-unreadable', `${name}: '${text}' is not a ${named.dimension}`, `give it in ${unit}`);
};

const torqueUnitOf = (tighten: Tighten): string => {
  const base = (tighten.torque?.low ?? tighten.torque?.high)?.base;
  return base && 'unit' in base ? base.unit.name : 'N·m';
};

/** Which of the part's own values an act gives; an act that gives none and marks nothing is a usage fault. */
const fastenerFault = (ask: Ask, step: Step, tighten: Tighten): Fault | undefined => {
  const fastener = wholeOf(ask.data, 'fastener') ?? 0;
  if (fastener < 1 || fastener > tighten.fasteners)
    return usage('unknown-id', `${step.step} has no fastener ${fastener}`, `give 1 to ${tighten.fasteners}`);
  const torque = textOf(ask.data, 'torque');
  const drag = textOf(ask.data, 'drag');
  const turns = [textOf(ask.data, 'finger-tight'), textOf(ask.data, 'past')];
  if (tighten.torque && turns.some((turn) => turn !== undefined))
    return usage('field-unknown', `${step.step} is tightened by torque`, 'give torque');
  if (!tighten.torque && torque !== undefined)
    return usage(
      'field-unknown',
      `${step.step} is tightened by turns`,
      "give finger-tight and past, the part's own method",
    );
  if (torque === undefined && turns.every((turn) => turn === undefined) && ask.data['mark'] !== true)
    return usage(
      'field-missing',
      `fastener ${fastener}: no value and no mark`,
      tighten.torque ? 'give torque' : 'give finger-tight or past',
    );
  if (torque !== undefined && tighten.drag === 'measured' && drag === undefined)
    return usage('field-missing', `fastener ${fastener}: drag is missing`, 'give the drag as the wrench showed it');
  return (
    dimensionFault('torque', torque, torqueUnitOf(tighten)) ??
    dimensionFault('drag', drag, torqueUnitOf(tighten)) ??
    dimensionFault('finger-tight', turns[0], 'turns') ??
    dimensionFault('past', turns[1], 'turns')
  );
};

/** The order is the procedure's: the next fastener only, or one that was begun before. */
const orderOfFasteners = (ask: Ask, step: Step, tighten: Tighten, fastener: number): readonly Refusal[] => {
  if (fastenerNow(ask.job, step.step, fastener)) return [];
  const next = tighten.order.find((one) => fastenerMissing(ask.job, step, one).some((missing) => missing !== 'mark'));
  return next === undefined || next === fastener
    ? []
    : [
        refusal(
          'out-of-order',
          `fastener ${next} comes next, not ${fastener}`,
          `the order is ${tighten.order.join(', ')}`,
        ),
      ];
};

const attempts = (ask: Ask, step: Step, fastener: number): number =>
  (own(ask.job.fasteners, step.step) ?? []).filter(
    (act) =>
      act.fastener === fastener && act.superseded === undefined && (act.torque !== undefined || act.past !== undefined),
  ).length;

const fastenerTries = (ask: Ask, step: Step, tighten: Tighten, fastener: number): readonly Refusal[] => {
  const again = textOf(ask.data, 'torque') !== undefined || textOf(ask.data, 'past') !== undefined;
  return again && tighten.tries !== undefined && attempts(ask, step, fastener) >= tighten.tries
    ? [
        refusal(
          'tries-used',
          `fastener ${fastener} may be tried ${tighten.tries} times, and was`,
          'dispose: rework, repair, use-as-is, scrap or ask',
        ),
      ]
    : [];
};

const actOf = (ask: Ask): Pick<FastenerAct, 'torque' | 'fingerTight' | 'past' | 'drag'> => {
  const pairs = [
    ['torque', textOf(ask.data, 'torque')],
    ['fingerTight', textOf(ask.data, 'finger-tight')],
    ['past', textOf(ask.data, 'past')],
    ['drag', textOf(ask.data, 'drag')],
  ] as const;
  return Object.fromEntries(pairs.filter(([, value]) => value !== undefined));
};

const toldOfFastener = (ask: Ask, tighten: Tighten): readonly string[] => {
  const act = actOf(ask);
  const at = fastenerTorqueNow(ask.job, tighten, act);
  const must = wrenchLimits(ask.job, tighten, act);
  if (!at || !must) return [];
  const ends = [must.low?.at, must.high?.at].map((end) => (end ? printQuantity(end) : '')).filter((end) => end !== '');
  return [`the wrench must show ${ends.join(' to ')}; at the fastener ${printQuantity(at)}`];
};

export const decideTighten = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  if (!step.ok) return step;
  const tighten = step.value.tighten;
  if (!tighten) return err(noPart(step.value, 'tighten'));
  const fault = fastenerFault(ask, step.value, tighten);
  if (fault) return err(fault);
  const tool = toolFor(ask, tighten.tool);
  if (!tool.ok) return tool;
  const fastener = wholeOf(ask.data, 'fastener') ?? 0;
  const isValue = textOf(ask.data, 'torque') !== undefined;
  const refusals = [
    ...openingRefusals(ask.job, step.value, ask.moment),
    ...performerRefusals(ask.moment),
    ...orderOfFasteners(ask, step.value, tighten, fastener),
    ...fastenerTries(ask, step.value, tighten, fastener),
    ...(isValue ? toolRefusals(ask.job, tighten.tool, tool.value, ask.moment) : []),
  ];
  return settle(ask, step.value, refusals, {
    data: isValue && tool.value !== undefined ? { tool: tool.value } : {},
    verdict: verdictOfFastener(ask.job, tighten, actOf(ask)),
    told: toldOfFastener(ask, tighten),
  });
};

const mixFault = (ask: Ask, mix: Mix, weights: Readonly<Record<string, string>>): Fault | undefined => {
  const known = mix.ratio.map((one) => one.part);
  const other = Object.keys(weights).find((part) => !known.includes(part));
  if (other === undefined) return checkTemperature('temperature', textOf(ask.data, 'temperature'));
  return unknownId(`the mix has no part '${other}'`, other, known);
};

const hottestNow = (ask: Ask, step: Step): ReturnType<typeof hottestSince> => {
  const typed = textOf(ask.data, 'temperature');
  const mixed = { place: step.place ?? '', at: ask.moment.ms, own: '', ...(typed === undefined ? {} : { typed }) };
  return hottestSince(ask.moment.around, mixed, ask.moment.ms);
};

const toldOfMix = (
  ask: Ask,
  step: Step,
  mix: Mix,
  parts: readonly Quantity[],
  good: boolean,
  batch: string,
): readonly string[] => {
  const base = parts[0];
  if (!good && base) {
    const bands = mixTargets(mix, base).map(
      (one) => `${one.part} ${printQuantity(one.low)} to ${printQuantity(one.high)}`,
    );
    return [`${batch} is outside its ratio (${bands.join(', ')}): discarded, mix another`];
  }
  if (mix.potLife.length === 0) return [batch];
  const ends = ask.moment.ms + potLifeMs(mix.potLife, hottestNow(ask, step)?.base);
  return [`${batch}: apply it by ${printInstant(ends, ask.moment.offset)}`];
};

/** What the lots hold after this batch, where the stock knows it; one that is used up is told as such. */
const toldOfLots = (ask: Ask, mix: Mix, parts: readonly Quantity[]): readonly string[] => {
  const used = lotsFor(ask.job, mix, ask.moment.around).map(({ number }, index) => ({ number, part: parts[index] }));
  return [...new Set(used.map(({ number }) => number))].flatMap((number) => {
    const there = number === undefined ? undefined : ask.moment.around.lot(mix.material, number)?.left;
    if (there === undefined) return [];
    const mine = used.flatMap((one) => (one.number === number && one.part ? [one.part] : []));
    if (mine.some((part) => part.unit.dimension !== there.unit.dimension)) return [];
    const left = mine.reduce((rest, part) => minus(rest, part), there);
    return left.amount.compare(0) > 0
      ? [`${mix.material} ${number ?? ''}: ${printQuantity(left)} left`]
      : [`${mix.material} ${number ?? ''} is used up: ${printQuantity(there)} were left of it by the stock`];
  });
};

export const decideMix = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  if (!step.ok) return step;
  const mix = step.value.mix;
  if (!mix) return err(noPart(step.value, 'mix'));
  const weights = mapOf(ask.data, 'weights');
  const fault = mixFault(ask, mix, weights);
  if (fault) return err(fault);
  const read = readWeights(mix, weights);
  if ('part' in read)
    return err(
      usage(
        read.why === 'is missing' ? 'field-missing' : 'value-unreadable',
        `${read.part} ${read.why}`,
        `give weights.${read.part} as weighed`,
      ),
    );
  const right = inRatio(mix, read.parts);
  const batch = textOf(ask.data, 'batch') ?? ask.moment.around.nextBatch;
  const thrown = ask.data['discarded'] === true;
  const lots = Object.fromEntries(
    lotsFor(ask.job, mix, ask.moment.around).flatMap(({ part, number }) =>
      number === undefined ? [] : [[part, number]],
    ),
  );
  const weighed = { parts: read.parts, temperature: textOf(ask.data, 'temperature') };
  return settle(ask, step.value, thrown ? [] : mixRefusals(ask.job, step.value, ask.moment, weighed), {
    data: { batch, lots, 'in-ratio': right },
    verdict: right ? 'within' : 'outside',
    told: [
      ...(thrown ? [`${batch}: discarded`] : toldOfMix(ask, step.value, mix, read.parts, right, batch)),
      ...toldOfLots(ask, mix, read.parts),
    ],
  });
};

const batchAsked = (ask: Ask, key: 'batch' | 'sample'): Outcome<Batch> => {
  const id = textOf(ask.data, key) ?? '';
  const found = ask.job.batches.findLast(
    (batch) => batch.batch === id || (key === 'sample' && batch.sample?.id === id),
  );
  if (found && (key === 'batch' || found.sample)) return ok(found);
  const known = ask.job.batches.flatMap((batch) =>
    key === 'batch' ? [batch.batch] : batch.sample ? [batch.sample.id] : [],
  );
  return err(unknownId(`no ${key} '${id}' in this job`, id, known));
};

export const decideDiscard = (ask: Ask): Outcome<Taken> => {
  const batch = batchAsked(ask, 'batch');
  if (!batch.ok) return batch;
  return settle(ask, undefined, []);
};

/** A sample is broken once the stage that its step names is reached; its result is entered whatever it is. */
export const decideBreak = (ask: Ask): Outcome<Taken> => {
  const batch = batchAsked(ask, 'sample');
  if (!batch.ok) return batch;
  if (batch.value.sample?.broken)
    return err(usage('already-broken', `the sample ${batch.value.sample.id} is broken already`, 'enter a remark'));
  return settle(ask, undefined, sampleRefusals(ask.job, batch.value, ask.moment), {
    told:
      textOf(ask.data, 'result') === 'failed' ? [`every joint of ${batch.value.batch} is in doubt: dispose it`] : [],
  });
};
