import { isDone, isWithdrawn } from '../../job/where.ts';
import { stepApplies, stepStateOf } from '../../job/step-state.ts';
import type { JobState } from '../../job/state.ts';
import { isClosed } from '../../job/where.ts';
import { parseInstant } from '../../quantity/time.ts';
import { jobsOf, type BuildState } from '../state.ts';
import { planOf } from './plan.ts';

/** One side that passes a gate, and since when it has. */
interface Passing {
  readonly procedure: string;
  readonly side?: string;
  /** RFC 3339; absent where it has not passed the gate yet. */
  readonly passed?: string;
}

const isLater = (one: string, other: string): boolean => {
  const [a, b] = [parseInstant(one), parseInstant(other)];
  return a.ok && b.ok && a.value.ms > b.value.ms;
};

const latest = (instants: readonly string[]): string | undefined =>
  instants.reduce<string | undefined>(
    (last, next) => (last === undefined || isLater(next, last) ? next : last),
    undefined,
  );

/** When a job passed a gate: the latest finish of its steps of that gate, once all of them are done. */
const passedIn = (job: JobState, gate: string): string | undefined => {
  const steps = job.plan.steps.filter((step) => step.gate === gate && stepApplies(job, step));
  if (steps.length === 0) return isClosed(job) ? job.completed?.when : undefined;
  if (!steps.every((step) => isDone(job, step))) return undefined;
  return latest(steps.flatMap((step) => stepStateOf(job, step.step).finished?.when ?? []));
};

export const passesGate = (job: JobState, gate: string): boolean => job.plan.steps.some((step) => step.gate === gate);

/** The sides that pass a gate: those of the plan; where the plan has none, those of the procedures of which a job is begun. */
const passingSides = (state: BuildState, gate: string, jobs: readonly JobState[]): readonly Passing[] => {
  const at = (procedure: string, side: string | undefined): Pick<Passing, 'passed'> => {
    const done = jobs
      .filter((job) => job.procedure === procedure && job.side === side)
      .flatMap((job) => passedIn(job, gate) ?? []);
    const passed = latest(done);
    return passed === undefined ? {} : { passed };
  };
  const planned = planOf(state).filter(({ gates }) => gates.includes(gate));
  if (planned.length > 0)
    return planned.map(({ procedure, side, doneBefore }) => ({
      procedure,
      ...(side === undefined ? {} : { side }),
      ...(doneBefore === undefined ? at(procedure, side) : { passed: `${doneBefore}T00:00:00Z` }),
    }));
  const begun = new Map(jobs.map((job) => [job.procedure, job.plan.each]));
  return [...begun].flatMap(([procedure, each]) =>
    (each.length === 0 ? [undefined] : each).map((side) => ({
      procedure,
      ...(side === undefined ? {} : { side }),
      ...at(procedure, side),
    })),
  );
};

/**
 * When a gate was passed (RFC 3339): once every planned side has passed it, at the latest of them. `undefined` where one has not, and where
 * nothing passes the gate.
 */
export const gatePassedAt = (state: BuildState, gate: string): string | undefined => {
  const jobs = jobsOf(state).filter((job) => !isWithdrawn(job) && passesGate(job, gate));
  const sides = passingSides(state, gate, jobs);
  return sides.every(({ passed }) => passed !== undefined)
    ? latest(sides.flatMap(({ passed }) => passed ?? []))
    : undefined;
};
