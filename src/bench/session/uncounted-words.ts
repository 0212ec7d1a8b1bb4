import { jobsOf } from '../../aircraft/state.ts';
import { own } from '../../fault/own.ts';
import { msOf } from '../../job/cure.ts';
import { uncountedBetween, uncountedWhy } from '../../job/uncounted.ts';
import { isOver } from '../../job/where.ts';
import { spokenTime } from '../drawing/clock.ts';
import { jobNow } from '../job-now.ts';
import type { BenchFacts, Done } from '../ports.ts';

/** How a line begins that says what did not count. */
export const uncountedStart = 'did not count';

/** From when to when an entry says how warm a place was; instants in ms since 1970. */
const toldBy = (
  { build }: BenchFacts,
  { type, data, entry }: Done,
): { readonly place: string; readonly from: number; readonly to: number } | undefined => {
  const place = 'place' in data && typeof data.place === 'string' ? data.place : '';
  if (type === 'temperatures' && 'from' in data && 'to' in data)
    return { place, from: msOf(String(data.from)), to: msOf(String(data.to)) };
  if (type !== 'temperature') return undefined;
  const mark = own(build.temperatures, place)?.find((one) => one.entry === entry);
  return mark && { place, from: mark.ms - 1, to: mark.ms };
};

/**
 * What a temperature closes that does not count towards a cure, in words: a cold night is said as the answer to the entry that ends it,
 * with no tick before it. One line each; two cures that lose the same hours are one line.
 */
export const uncountedWords = (facts: BenchFacts, done: Done): readonly string[] => {
  const told = toldBy(facts, done);
  if (!told) return [];
  const time = (ms: number): string => spokenTime(ms, facts.now.ms, facts.now.offset);
  const lines = jobsOf(facts.build)
    .filter((job) => !isOver(job))
    .flatMap((job) => uncountedBetween(job, jobNow(facts, job).around, told.place, told, facts.now.ms))
    .map(
      ({ step, interval }) =>
        `${uncountedStart}: ${time(interval.from)} to ${time(interval.to)}, ${uncountedWhy(step, interval)}`,
    );
  return [...new Set(lines)];
};
