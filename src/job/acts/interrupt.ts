import { stampOf } from '../evolve/draft.ts';
import { settle, type Act } from './act.ts';

export const interrupt: Act<'interrupt'> = {
  decide: (ask) => settle(ask, undefined, []),
  evolve: (draft, entry) => {
    draft.interruptions.push(stampOf(entry));
    draft.helpers = [];
  },
  words: () => 'interrupted',
};
