import { waitFrom } from '../../job/parts/wait.ts';
import type { Step } from '../../procedure/model.ts';
import type { JobNow } from '../job-now.ts';
import { finishOf } from '../session/finish.ts';
import type { BenchPart } from './part.ts';

/** When the wait of a step ends, in ms since 1970; nothing where it has none, has not begun, or is over. */
export const waitEnds = ({ job, around, facts }: JobNow, step: Step): number | undefined => {
  const ends = step.wait ? waitFrom(job, step, around) + step.wait.ms : undefined;
  return ends === undefined || ends === Infinity || ends <= facts.now.ms ? undefined : ends;
};

/** Nothing is entered for a wait: the finish of its step is shown, under a clock that runs down. */
export const waitPart = { ask: (_job, step) => finishOf(step) } satisfies BenchPart<'wait'>;
