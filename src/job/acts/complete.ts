import { stampOf } from '../evolve/draft.ts';
import { completionRefusals } from '../refusals/finishing.ts';
import { settle, type Act } from './act.ts';

export const complete: Act<'complete'> = {
  decide: (ask) => settle(ask, undefined, completionRefusals(ask.job, ask.moment)),
  evolve: (draft, entry) => {
    draft.completed = stampOf(entry);
    delete draft.reopened;
  },
  words: () => 'complete',
};
