import { impactOf, type JobImpact } from '../../aircraft/impact.ts';
import type { BuildState } from '../../aircraft/state.ts';
import { memoisedBy } from '../../fault/memo.ts';
import type { JobState } from '../../job/state.ts';
import type { Procedure } from '../../procedure/model.ts';
import type { BenchFacts } from '../ports.ts';

/** Another revision of a job's procedure, in the folder of procedures. */
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

/** What a new revision means for every job. Screens are drawn at every key, so this is worked out once for each build and text. */
const impactsIn = memoisedBy(
  (build: BuildState, page: NewPage) => impactOf(build, page.procedure, page.sha256),
  ({ sha256 }) => sha256,
);

export const impactsOf = ({ build }: BenchFacts, page: NewPage): readonly JobImpact[] => impactsIn(build, page);
