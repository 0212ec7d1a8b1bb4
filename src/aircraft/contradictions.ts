import type { Fault } from '../fault/fault.ts';
import { contradictionText, type Contradiction } from '../job/contradiction.ts';
import type { Entry } from '../job/entry.ts';
import { stepOfEntry, withRemark } from '../job/evolve.ts';
import { withJob } from './jobs.ts';
import { jobOf, type BuildState } from './state.ts';

/** Keeps a refused entry and lists it in the story of its job. The entry changes nothing else until somebody settles the contradiction. */
export const withContradiction = (state: BuildState, entry: Entry, { code, what }: Fault): BuildState => {
  const id = entry.type === 'start' ? (state.jobOrder.at(-1) ?? '') : entry.job;
  const job = jobOf(state, id);
  const step = job && stepOfEntry(job, entry);
  const one: Contradiction = { entry, job: id, code, why: what, ...(step === undefined ? {} : { step }) };
  const after = { ...state, contradictions: [...state.contradictions, one] };
  return job
    ? { ...after, jobs: withJob(after.jobs, withRemark(job, entry, `dryfit: ${contradictionText(one)}`)) }
    : after;
};
