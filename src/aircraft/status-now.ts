import { memoised } from '../fault/memo.ts';
import { msOf } from '../job/cure.ts';
import { shopAge } from '../job/shop.ts';
import { jobStatusAt, lastingOf } from './lasting.ts';
import type { JobState } from '../job/state.ts';
import { jobOf, type BuildState } from './state.ts';
import { statusOf, statusWith, type BuildStatus } from './status.ts';

/** The status at the last entry, worked out once for each state, and of most jobs only where something changed. */
const statusAtLast = memoised((state: BuildState) => statusWith(state, (id) => jobStatusAt(state, id, state.lastAt)));

/** The jobs with a cure that runs, in the order in which they were started. */
export const curingJobs = memoised((state: BuildState): readonly JobState[] => {
  const curing = new Set(statusAtLast(state).jobs.flatMap(({ id, cures }) => (cures.length > 0 ? [id] : [])));
  return state.jobOrder.filter((id) => curing.has(id)).flatMap((id) => jobOf(state, id) ?? []);
});

/**
 * `statusOf`, where most jobs of a build of years are over: those are worked out only where something changed. What a job under way waits for
 * changes with the clock, since what is known of the shop grows too old, so each is worked out for this instant.
 * @param at ms since 1970.
 */
export const statusNow = (state: BuildState, at: number): BuildStatus => {
  // Where the clock is behind the last entry, what was kept cannot be used.
  if (at < state.lastAt) return statusOf(state, at);
  return at === state.lastAt ? statusAtLast(state) : statusWith(state, (id) => jobStatusAt(state, id, at));
};

const quarterHour = 900_000;

/**
 * Until when nothing but forecasts changes in the status of a build, ms since 1970, where nothing is entered. Dates of tools and lots end with
 * a day, which is a quarter of an hour somewhere; what is known of the shop ends sooner. A build with no job under way stays as it is.
 */
export const unchangedUntil = (state: BuildState, at: number): number => {
  const open = state.jobOrder.flatMap((id) => (lastingOf(state, id) === undefined ? (jobOf(state, id) ?? []) : []));
  const places = open.some(({ plan }) => plan.gather.shop) ? Object.values(state.temperatures) : [];
  const shops = open.flatMap((job) => {
    if (!job.plan.gather.shop) return [];
    const known = [...job.shop.map(({ when }) => msOf(when)), ...places.flatMap((marks) => marks.map(({ ms }) => ms))];
    return known.map((ms) => ms + shopAge(job)).filter((end) => end >= at);
  });
  const days = open.length === 0 ? [] : [Math.floor(at / quarterHour + 1) * quarterHour - 1];
  return shops.concat(days).reduce((first, end) => Math.min(first, end), Number.MAX_SAFE_INTEGER);
};
