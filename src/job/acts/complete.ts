import { stampOf } from '../draft.ts';
import { completionRefusals } from '../refusals/finishing.ts';
import { nothingOpen, takeUnless, type Act, type Foreseen, type Intended } from './act.ts';
import { notCorrected } from './correctable.ts';

const foresee = ({ job, moment }: Intended<'complete'>): Foreseen => ({
  step: undefined,
  refusals: completionRefusals(job, moment),
});

export const completeAct: Act<'complete'> = {
  decide: (ask) => takeUnless(ask, undefined, foresee({ ...ask, open: nothingOpen }).refusals),
  foresee,
  evolve: (draft, entry) => {
    draft.completed = stampOf(entry);
    delete draft.reopened;
  },
  words: () => 'complete',
  correct: notCorrected('correct or undo what is wrong; the job is then open again'),
};
