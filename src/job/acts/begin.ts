import { perform, touch } from '../draft.ts';
import { openingRefusals } from '../refusals/opening.ts';
import { performerRefusals } from '../refusals/power.ts';
import { takeUnless, stepNamed, type Act } from './act.ts';
import { correctsBegin } from './correct-names.ts';

export const beginAct: Act<'begin'> = {
  decide: (ask) => {
    const step = stepNamed(ask, ask.data.step);
    return step.ok
      ? takeUnless(ask, step.value, [
          ...openingRefusals(ask.job, step.value, ask.moment),
          ...performerRefusals(ask.moment),
        ])
      : step;
  },
  evolve: (draft, entry) => {
    perform(draft, entry.data.step, entry, entry.data.with, true);
    touch(draft, entry.data.step, entry);
  },
  words: () => 'begun',
  correct: correctsBegin,
};
