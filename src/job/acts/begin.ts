import { perform, touch } from '../draft.ts';
import { openingRefusals } from '../refusals/opening.ts';
import { performerRefusals } from '../refusals/power.ts';
import { stepOf } from '../../procedure/plan.ts';
import { nothingOpen, takeUnless, stepNamed, type Act, type Foreseen, type Intended } from './act.ts';
import { correctsBegin } from './correct-names.ts';

const foresee = ({ job, moment, data }: Intended<'begin'>): Foreseen => {
  const step = stepOf(job.plan, data.step ?? '');
  return { step, refusals: step ? [...openingRefusals(job, step, moment), ...performerRefusals(moment)] : [] };
};

export const beginAct: Act<'begin'> = {
  decide: (ask) => {
    const step = stepNamed(ask, ask.data.step);
    return step.ok ? takeUnless(ask, step.value, foresee({ ...ask, open: nothingOpen }).refusals) : step;
  },
  foresee,
  evolve: (draft, entry) => {
    perform(draft, entry.data.step, entry, entry.data.with, true);
    touch(draft, entry.data.step, entry);
  },
  words: () => 'begun',
  correct: correctsBegin,
};
