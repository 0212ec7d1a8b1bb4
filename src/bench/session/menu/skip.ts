import { waitingWith } from '../../../job/needs.ts';
import type { JobState } from '../../../job/state.ts';
import type { Step } from '../../../procedure/model.ts';
import type { BenchFacts } from '../../ports.ts';
import { because, choice, formOf, gateChoices, item, type MenuItem } from './item.ts';

/** Leaves the open step for later. What waits with it is said before it is left. */
export const skipItems = (facts: BenchFacts, job: JobState, step: Step): readonly MenuItem[] => {
  if (step.hold?.kind === 'hold') return [];
  const waiting = waitingWith(job, step).map(({ title }) => title);
  return [
    item(
      'leave this step for later',
      formOf('skip', job.id, {
        title: `Leave for later: ${step.title}`,
        about: [
          'It becomes a loose item with a tag. The job is not complete until it is done.',
          waiting.length === 0 ? 'No other step waits with it.' : `Waits with it: ${waiting.join('; ')}.`,
        ],
        fixed: { step: step.step },
        questions: [because, choice('before', 'To be done before', gateChoices(facts))],
      }),
    ),
  ];
};
