import type { GateItem } from '../../job/gate-sheet.ts';
import type { JobState } from '../../job/state.ts';
import { isCarriedOut, jobsConcerned, standingOf, type Answering } from '../bulletins.ts';
import { jobsOf, type BuildState } from '../state.ts';
import type { PlannedSide } from './plan.ts';

/** A bulletin that a gate wants settled, with the procedure that answers it. */
export interface OpenBulletin {
  readonly procedure: string;
  readonly item: GateItem;
}

/** Every bulletin that the build knows: from the pages of the folder, and from what was decided about pages that are gone. */
const bulletinsKnown = (state: BuildState): readonly Answering[] => {
  const pages = state.pages.flatMap(({ procedure, bulletin, of }) =>
    bulletin === undefined || of === undefined ? [] : [{ bulletin, of, procedure }],
  );
  const decided = jobsOf(state).flatMap(({ procedure: of, resolutions }) =>
    resolutions.flatMap(({ on, answeredBy }) =>
      answeredBy === undefined ? [] : [{ bulletin: on, of, procedure: answeredBy }],
    ),
  );
  return [...new Map([...decided, ...pages].map((one) => [`${one.bulletin} ${one.of}`, one])).values()];
};

const itemAt = (state: BuildState, answering: Answering, job: JobState): readonly GateItem[] => {
  const { bulletin, procedure } = answering;
  const standing = standingOf(state, answering, job);
  if (standing === 'settled') return [];
  const what = standing === 'to carry out' ? `to be carried out: complete ${procedure}` : 'not decided';
  return [{ kind: 'bulletin', what: `${bulletin} ${what}`, job: job.id, key: `bulletin ${bulletin} ${job.id}` }];
};

/** A bulletin about work that was done before dryfit concerns no job, and is open until the answering procedure is complete. */
const itemWithoutJob = (state: BuildState, { bulletin, of, procedure }: Answering): readonly GateItem[] =>
  state.file.beforeDryfit.some((line) => line.procedure === of) && !isCarriedOut(state, procedure, undefined)
    ? [
        {
          kind: 'bulletin',
          what: `${bulletin} of ${of} to be carried out: complete ${procedure}`,
          key: `bulletin ${bulletin} ${of}`,
        },
      ]
    : [];

/** The bulletins that are open before a gate: about a procedure that is planned before it, or answered by one; at the last gate, all. */
export const openBulletins = (
  state: BuildState,
  due: readonly PlannedSide[],
  isLast: boolean,
): readonly OpenBulletin[] =>
  bulletinsKnown(state)
    .filter((one) => isLast || due.some(({ procedure }) => procedure === one.of || procedure === one.procedure))
    .flatMap((one) => {
      const jobs = jobsConcerned(state, one);
      const items = jobs.length === 0 ? itemWithoutJob(state, one) : jobs.flatMap((job) => itemAt(state, one, job));
      return items.map((item) => ({ procedure: one.procedure, item }));
    });

/** True where every job that a bulletin is about was settled without the page that answers it: the page is then not wanted. */
export const isNotNeeded = (state: BuildState, procedure: string): boolean => {
  const page = state.pages.find((one) => one.procedure === procedure);
  if (page?.bulletin === undefined || page.of === undefined) return false;
  const answering = { bulletin: page.bulletin, of: page.of, procedure };
  const jobs = jobsConcerned(state, answering);
  return jobs.length > 0 && jobs.every((job) => standingOf(state, answering, job) === 'settled');
};
