import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import type { Moment } from '../moment.ts';
import { isOpenItem } from '../loose.ts';
import { nonconformances, openText, openTodo } from '../nonconformances.ts';
import { refusedByParts } from '../parts/all.ts';
import { twinRefusals } from '../parts/twin.ts';
import type { JobState } from '../state.ts';
import { isSkipped, walkedSteps } from '../step-state.ts';
import { currentStep, isDone } from '../where.ts';
import { contradictionRefusals } from './contradiction.ts';
import { gateRefusals } from './gate.ts';
import { helperRefusals, helpersToFinish } from './helpers.ts';
import { lotsOwed } from './lots.ts';
import { isGlued, openingRefusals } from './opening.ts';
import { performerRefusals } from './power.ts';
import { serialsOwedRefusals } from './serials.ts';
import { potLifeRefusals, stageRefusals } from './stage-and-pot-life.ts';
import { partRefusals, troubleRefusals } from './values.ts';

/** Everything that refuses to finish a step now. */
export const finishRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => [
  ...openingRefusals(job, step, moment),
  ...partRefusals(job, step),
  ...troubleRefusals(job, step),
  ...stageRefusals(job, step, moment),
  ...refusedByParts(job, step, moment),
  ...potLifeRefusals(job, step, moment),
  ...(isGlued(step) ? [] : [...gateRefusals(job, step, moment), ...helperRefusals(helpersToFinish(job, step, moment))]),
  ...contradictionRefusals([step], moment),
  ...performerRefusals(moment),
];

/** A job is not complete as long as the tag of a step left for later is open. */
const owedRefusals = (job: JobState): readonly Refusal[] =>
  job.loose
    .filter((item) => item.skipped && isOpenItem(item))
    .map(({ tag, item }) =>
      refusal(
        'unfinished',
        `${item} was left for later (${tag}) and is not done`,
        `do it: begin ${item}, then finish it; or enter that it is not done: close ${tag} count=0 reason=…`,
      ),
    );

/** Everything that refuses to complete a job now. */
export const completionRefusals = (job: JobState, moment: Moment): readonly Refusal[] => {
  const open = currentStep(job);
  const walked = walkedSteps(job);
  return [
    ...performerRefusals(moment),
    ...contradictionRefusals(walked, moment),
    ...walked.filter((step) => isDone(job, step)).flatMap((step) => twinRefusals(job, step, moment)),
    ...(open && !isSkipped(job, open)
      ? [refusal('unfinished', `${open.step} is not finished`, `go on with ${open.step}`)]
      : [...lotsOwed(job, moment), ...serialsOwedRefusals(job)]),
    ...owedRefusals(job),
    ...nonconformances(job, moment.around)
      .filter((one) => one.open)
      .map((one) => refusal('nonconformance-open', openText(one), openTodo(one))),
  ];
};
