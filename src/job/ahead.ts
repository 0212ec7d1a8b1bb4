import type { Step } from '../procedure/model.ts';
import type { Around } from './around.ts';
import type { JobState } from './state.ts';
import { isDone, isSkipped, stepApplies } from './where.ts';

/** Where a feature was proved before a step: an earlier finished step of this job, or somewhere else in the build. */
export const provedBy = (job: JobState, before: Step, feature: string, around: Around): string | undefined => {
  const earlier = job.plan.steps.slice(0, job.plan.steps.indexOf(before));
  const proof = earlier.findLast(
    (step) => step.proves.includes(feature) && stepApplies(job, step) && isDone(job, step),
  );
  return proof?.step ?? around.provedElsewhere(feature);
};

export interface Reacher {
  readonly area: string;
  readonly step: string;
  readonly job?: string;
}

/** Later steps of this job that must reach an area, up to the one that uncovers it again. */
const laterReachers = (job: JobState, step: Step, area: string): readonly Step[] => {
  const later = job.plan.steps.slice(job.plan.steps.indexOf(step) + 1);
  const uncovered = later.findIndex((one) => one.uncovers.includes(area));
  return (uncovered === -1 ? later : later.slice(0, uncovered)).filter(
    (one) => one.reaches.includes(area) && stepApplies(job, one),
  );
};

/** Everything that must still reach an area which this step covers: here, left for later, or in another open job. */
export const coverers = (job: JobState, step: Step, around: Around): readonly Reacher[] =>
  step.covers.flatMap((area) => [
    ...job.plan.steps
      .filter((one) => one.reaches.includes(area) && isSkipped(job, one))
      .map((one) => ({ area, step: one.step })),
    ...laterReachers(job, step, area).map((one) => ({ area, step: one.step })),
    ...around.stillReaching(area).map((one) => ({ area, ...one })),
  ]);

/** What a person is shown before a permanent step: it is decided by the rules, and read before the glue is on. */
export interface PermanentCard {
  readonly step: string;
  readonly sets: readonly string[];
  readonly proved: readonly { readonly feature: string; readonly by?: string }[];
  readonly reliedOnBy: readonly { readonly feature: string; readonly step: string }[];
  readonly covers: readonly string[];
  readonly reachers: readonly Reacher[];
  readonly people: number;
  readonly gate?: string;
}

export const permanentCard = (job: JobState, step: Step, around: Around): PermanentCard => {
  const later = job.plan.steps.slice(job.plan.steps.indexOf(step) + 1);
  return {
    step: step.step,
    sets: step.sets,
    proved: step.sets.map((feature) => {
      const by = provedBy(job, step, feature, around);
      return { feature, ...(by === undefined ? {} : { by }) };
    }),
    reliedOnBy: step.sets.flatMap((feature) =>
      later.filter((one) => one.reliesOn.includes(feature)).map((one) => ({ feature, step: one.step })),
    ),
    covers: step.covers,
    reachers: coverers(job, step, around),
    people: step.people ?? job.plan.people,
    ...(step.gate === undefined ? {} : { gate: step.gate }),
  };
};
