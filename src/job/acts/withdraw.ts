import { refusal, type Refusal } from '../../fault/fault.ts';
import { unanswered } from '../hold.ts';
import { isOpenItem } from '../loose.ts';
import { nonconformances } from '../nonconformances.ts';
import { performerRefusals } from '../refusals/power.ts';
import { stampOf } from '../draft.ts';
import type { JobState } from '../state.ts';
import { workLeft } from '../work-left.ts';
import { takeUnless, type Act, type AskedJob } from './act.ts';
import { notCorrected } from './correctable.ts';

const workRefusals = (job: JobState): readonly Refusal[] => {
  const work = workLeft(job);
  return work === undefined
    ? []
    : [
        refusal(
          'unfinished',
          `work was done in ${job.id}: ${work}`,
          'finish the job, or scrap its work whole first (dispose STEP as-what=scrap)',
        ),
      ];
};

/** Nothing open ends as a side effect: loose items are closed by name, findings answered, nonconformances decided. */
const openRefusals = ({ job, moment }: AskedJob): readonly Refusal[] => [
  ...job.loose
    .filter(isOpenItem)
    .map(({ tag, item }) =>
      refusal('unfinished', `${tag} ${item} is still open`, `close it with its count (close ${tag})`),
    ),
  ...job.plan.steps
    .flatMap(({ step }) => unanswered(job, step))
    .map(({ number, text }) =>
      refusal('finding-open', `finding ${number} is not answered: ${text}`, `answer it (answer ${number})`),
    ),
  ...nonconformances(job, moment.around)
    .filter(({ open }) => open)
    .map(({ what }) => refusal('nonconformance-open', what, 'dispose it: rework, repair, use-as-is or scrap')),
];

/** Ends a job that was started by mistake, or whose work was scrapped whole. Other jobs and gates do not wait for it any more. */
export const withdrawAct: Act<'withdraw'> = {
  decide: (ask) =>
    takeUnless(ask, undefined, [...performerRefusals(ask.moment), ...workRefusals(ask.job), ...openRefusals(ask)]),
  evolve: (draft, entry) => {
    draft.withdrawn = { ...stampOf(entry), because: entry.data.because };
  },
  words: () => 'job withdrawn',
  correct: notCorrected('a withdrawn job stays withdrawn: start the procedure again'),
};
