import { stampOf } from '../draft.ts';
import { completionRefusals } from '../refusals/finishing.ts';
import { takeUnless, type Act } from './act.ts';
import { notCorrected } from './correctable.ts';

export const completeAct: Act<'complete'> = {
  decide: (ask) => takeUnless(ask, undefined, completionRefusals(ask.job, ask.moment)),
  evolve: (draft, entry) => {
    draft.completed = stampOf(entry);
    delete draft.reopened;
  },
  words: () => 'complete',
  correct: notCorrected('correct or undo what is wrong; the job is then open again'),
};
