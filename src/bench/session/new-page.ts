import { impactOf, type JobImpact } from '../../aircraft/impact.ts';
import type { BuildState } from '../../aircraft/state.ts';
import type { JobState } from '../../job/state.ts';
import type { Procedure } from '../../procedure/model.ts';
import type { BenchFacts } from '../ports.ts';

/** Another text of a job's procedure, that lies in the folder of procedures. */
export interface NewPage {
  readonly procedure: Procedure;
  readonly sha256: string;
}

export const newPageFor = (facts: BenchFacts, job: JobState): NewPage | undefined => {
  const found = facts.procedures.find(({ procedure }) => procedure?.procedure === job.procedure);
  return found?.procedure === undefined || found.sha256 === undefined || found.sha256 === job.sha256
    ? undefined
    : { procedure: found.procedure, sha256: found.sha256 };
};

const known = new WeakMap<BuildState, Map<string, readonly JobImpact[]>>();

/** What it means for every job, worked out once for each state of the build: a screen is drawn at every key. */
export const impactsOf = ({ build }: BenchFacts, page: NewPage): readonly JobImpact[] => {
  const found = known.get(build) ?? new Map<string, readonly JobImpact[]>();
  known.set(build, found);
  const before = found.get(page.sha256);
  if (before !== undefined) return before;
  const impacts = impactOf(build, page.procedure, page.sha256);
  found.set(page.sha256, impacts);
  return impacts;
};
