import Fraction from 'fraction.js';
import type { Mix, PotLifePoint } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import { compareQuantities, parseQuantity, toBase, type Quantity } from '../quantity/quantity.ts';
import { mixTarget, type MixTarget } from '../trade/mix-target.ts';
import type { Surroundings } from './surroundings.ts';
import { msOf } from './cure.ts';
import { shopAge } from './shop.ts';
import type { Batch, JobState } from './state.ts';
import { hottestSince, placeOfStep } from './temperatures.ts';
import { own } from '../fault/own.ts';

/**
 * Batches of some mix steps that are in use: not discarded, and not set aside with undone work. One that a correction showed to be outside
 * its ratio after it was used is among them: it is in the joint, and a nonconformance until somebody disposes of it.
 */
export const goodBatches = (job: Pick<JobState, 'batches'>, mixes: readonly string[]): readonly Batch[] =>
  job.batches.filter(
    (batch) => mixes.includes(batch.step) && batch.discarded === undefined && batch.superseded === undefined,
  );

/** In ms. */
const shortest = (points: readonly PotLifePoint[]): number => Math.min(...points.map((point) => point.time.ms));

interface Stated {
  readonly base: Fraction;
  /** The pot life at this temperature, ms. */
  readonly ms: number;
}

const statedPoints = (points: readonly PotLifePoint[]): readonly Stated[] =>
  points
    .flatMap((point) => (point.at ? [{ base: toBase(point.at), ms: point.time.ms }] : []))
    .toSorted((one, other) => one.base.compare(other.base));

/**
 * How long a batch may be applied, in ms, at the hottest temperature known for its place. Between two points, the time of the hotter one.
 * Above the hottest point, its time × 2^(−ΔT/10), rounded down to whole seconds; halving per 10 °C is common practice, no source, and only
 * ever shortens. Never longer than the time of the coldest point. Where no temperature is known, the shortest time given.
 */
export const potLifeMs = (points: readonly PotLifePoint[], hottest: Fraction | undefined): number => {
  const stated = statedPoints(points);
  const [hotEnd] = stated.slice(-1);
  if (hottest === undefined || !hotEnd) return shortest(points);
  const point = stated.find((one) => one.base.compare(hottest) >= 0);
  const over = hottest.sub(hotEnd.base).valueOf();
  return point ? point.ms : Math.floor((hotEnd.ms / 1000) * 2 ** (-over / 10)) * 1000;
};

export interface PotLifeNow {
  readonly batch: string;
  /** When it was mixed, ms since 1970. */
  readonly mixed: number;
  /** The last instant at which the batch may still be applied, ms since 1970. */
  readonly ends: number;
  readonly hottest?: string;
}

/**
 * What is read after the glue is past its pot life says nothing about it, so temperatures count up to the end that the earlier ones give.
 * @param at ms since 1970.
 */
const potLifeOfBatch = (job: JobState, batch: Batch, mix: Mix, around: Surroundings, at: number): PotLifeNow => {
  const mixed = msOf(batch.when);
  const made = { place: placeOfStep(job, batch.step), at: mixed, own: batch.entry, notOlder: shopAge(job) };
  const by = (until: number) => {
    const hottest = hottestSince(around, made, Math.min(at, until));
    return { hottest, ends: mixed + potLifeMs(mix.potLife, hottest?.base) };
  };
  const atMix = by(mixed).ends;
  const { hottest, ends } = by(Math.max(atMix, by(atMix).ends));
  return { batch: batch.batch, mixed, ends, ...(hottest ? { hottest: hottest.text } : {}) };
};

/** Of the batches of some mix steps, the pot life that ends first. @param at ms since 1970. */
export const potLifeNow = (
  job: JobState,
  mixes: readonly string[],
  around: Surroundings,
  at: number,
): PotLifeNow | undefined =>
  goodBatches(job, mixes)
    .flatMap((batch) => {
      const mix = stepOf(job.plan, batch.step)?.mix;
      return mix && mix.potLife.length > 0 ? [potLifeOfBatch(job, batch, mix, around, at)] : [];
    })
    .reduce<PotLifeNow | undefined>((first, next) => (!first || next.ends < first.ends ? next : first), undefined);

export interface PartTarget extends MixTarget {
  readonly part: string;
}

/** What each other part must weigh for this weight of the base, with its tolerance, in the order of the ratio. */
export const mixTargets = (mix: Mix, base: Quantity): readonly PartTarget[] => {
  const baseShare = new Fraction(mix.ratio[0]?.share ?? '1');
  return mix.ratio
    .slice(1)
    .map(({ part, share }) => ({ part, ...mixTarget(base, baseShare, new Fraction(share), mix.tolerance) }));
};

/** One weight as a quantity, or why it is none. */
const readWeight = (mix: Mix, text: string | undefined): Quantity | string => {
  if (text === undefined) return 'is missing';
  const parsed = parseQuantity(text);
  if (!parsed.ok) return parsed.fault.what;
  if (parsed.value.unit.dimension !== (mix.by === 'weight' ? 'mass' : 'volume')) return `is not by ${mix.by}`;
  return parsed.value.amount.compare(0) <= 0 ? 'is not more than nothing' : parsed.value;
};

const partWeighed = (mix: Mix, text: string | undefined): Quantity | undefined => {
  const read = readWeight(mix, text);
  return typeof read === 'string' ? undefined : read;
};

/** The weights as quantities, in the order of the ratio; a fault names a part that is missing or unreadable. */
export const readWeights = (
  mix: Mix,
  weights: Readonly<Record<string, string>>,
): { readonly parts: readonly Quantity[] } | { readonly part: string; readonly why: string } => {
  const parts: Quantity[] = [];
  for (const { part } of mix.ratio) {
    const read = readWeight(mix, own(weights, part));
    if (typeof read === 'string') return { part, why: read };
    parts.push(read);
  }
  return { parts };
};

/**
 * The batch that the weights known so far lead to, in the order of the ratio: a part that is not weighed yet counts as its target. Empty
 * before the base is weighed.
 */
export const partsSoFar = (mix: Mix, weights: Readonly<Record<string, string>>): readonly Quantity[] => {
  const weighed = mix.ratio.map(({ part }) => partWeighed(mix, own(weights, part)));
  const [base] = weighed;
  if (!base) return [];
  const targets = mixTargets(mix, base);
  return weighed.flatMap((one, index) => one ?? targets[index - 1]?.target ?? []);
};

/** True where every part is within its tolerance. */
export const inRatio = (mix: Mix, parts: readonly Quantity[]): boolean => {
  const base = parts[0];
  if (!base) return false;
  return mixTargets(mix, base).every(({ low, high }, index) => {
    const weighed = parts[index + 1];
    return weighed !== undefined && compareQuantities(weighed, low) >= 0 && compareQuantities(weighed, high) <= 0;
  });
};
