import { keepAhead } from '../ahead-kept.ts';
import { perform, touch } from '../draft.ts';
import { aheadSaid } from '../ahead-said.ts';
import { openingRefusals } from '../refusals/opening.ts';
import { performerRefusals } from '../refusals/power.ts';
import { takeUnless, stepNamed, type Act } from './act.ts';
import { correctsNames } from './correct-names.ts';

export const beginAct: Act<'begin'> = {
  decide: (ask) => {
    const step = stepNamed(ask, ask.data.step);
    return step.ok
      ? takeUnless(
          ask,
          step.value,
          [...openingRefusals(ask.job, step.value, ask.moment), ...performerRefusals(ask.moment)],
          { data: aheadSaid(ask.job, step.value, ask.moment.around) },
        )
      : step;
  },
  evolve: (draft, entry, job) => {
    perform(draft, entry.data.step, entry, entry.data.with, true);
    keepAhead(draft, job, entry);
    touch(draft, entry.data.step, entry);
  },
  words: () => 'begun',
  correct: correctsNames<'begin'>(),
};
