import type { Step } from '../../procedure/model.ts';
import { departureFor } from '../departure.ts';
import type { Moment } from '../moment.ts';
import { helpersToFinish, helpersToMix, helpersToOpen, type HelperCount } from '../refusals/helpers.ts';
import { isGlued } from '../refusals/opening.ts';
import type { JobState } from '../state.ts';
import type { WantOf } from './want.ts';

type HelpersWanted = WantOf<'helpers'>;

const wanted = (
  job: JobState,
  step: Step,
  { needed, named }: HelperCount,
  at: HelpersWanted['at'],
  isRefused: boolean,
): HelpersWanted | undefined =>
  named >= needed || departureFor(job, 'helper-missing', step) !== undefined
    ? undefined
    : { want: 'helpers', at, needed, named, asked: !isRefused };

/**
 * The helpers that are wanted before the work begins. When glue is mixed and when something permanent begins, they must be there. For any
 * other step that says how many people it needs, they are asked for at the beginning and must be named by its finish.
 */
export const helpersFirst = (
  job: JobState,
  step: Step,
  moment: Moment,
  { isBegun, wantsMix }: { readonly isBegun: boolean; readonly wantsMix: boolean },
): HelpersWanted | undefined => {
  if (wantsMix) return wanted(job, step, helpersToMix(job, step, moment), 'begin', true);
  if (isBegun) return undefined;
  return step.permanent && !isGlued(step)
    ? wanted(job, step, helpersToOpen(job, step, moment), 'begin', true)
    : wanted(job, step, helpersToFinish(job, step, moment), 'begin', false);
};

/** The helpers that are wanted at the finish. Once the glue is on, a missing helper refuses nothing any more. */
export const helpersLast = (job: JobState, step: Step, moment: Moment): HelpersWanted | undefined =>
  wanted(job, step, helpersToFinish(job, step, moment), 'finish', !isGlued(step));
