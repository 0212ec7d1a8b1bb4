import { stampOf } from '../draft.ts';
import { takeUnless, type Act } from './act.ts';
import { correctsTime } from './correctable.ts';

export const interruptAct: Act<'interrupt'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry) => {
    draft.interruptions.push(stampOf(entry));
    draft.helpers = [];
  },
  words: () => 'interrupted',
  correct: correctsTime<'interrupt'>((job) => job.interruptions),
};
