import { parseInstant, printInstant } from '../quantity/time.ts';
import type { BuildStatus, CureStatus, JobStatus } from './status.ts';

type Stage = CureStatus['stages'][number];

/** The stage with its forecast counted from a later instant. @param from ms since 1970. */
const forecastFrom = (stage: Stage, from: number): Stage =>
  stage.leftMs === undefined ? stage : { ...stage, forecast: printInstant(from + stage.leftMs, 0) };

/** True where the status of the job changes with the clock alone: a stage of a cure is still to be reached. */
export const hasForecast = ({ cures }: JobStatus): boolean =>
  cures.some(({ stages }) => stages.some(({ leftMs }) => leftMs !== undefined));

/** One job at a later instant, in ms since 1970, when nothing was entered in between. Only forecasts change with the clock. */
export const jobLater = (job: JobStatus, at: number): JobStatus =>
  hasForecast(job)
    ? {
        ...job,
        cures: job.cures.map((cure) => {
          const begun = parseInstant(cure.begun);
          const from = begun.ok ? Math.max(at, begun.value.ms) : at;
          return { ...cure, stages: cure.stages.map((stage) => forecastFrom(stage, from)) };
        }),
      }
    : job;

/**
 * The same build's status at a later instant, in ms since 1970, when nothing was entered in between. Forecasts change with the clock, because
 * they start now. So `statusOf(s, b)` equals `statusLater(statusOf(s, a), b)` for every b ≥ a ≥ the last entry, up to `unchangedUntil(s, a)`.
 */
export const statusLater = (status: BuildStatus, at: number): BuildStatus => ({
  ...status,
  jobs: status.jobs.map((job) => jobLater(job, at)),
});
