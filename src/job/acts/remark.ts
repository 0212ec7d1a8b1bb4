import { stampOf } from '../draft.ts';
import { currentStep } from '../where.ts';
import { takeUnless, type Act } from './act.ts';

export const remarkAct: Act<'remark'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry, job) => {
    const step = currentStep(job)?.step;
    draft.remarks.push({ ...stampOf(entry), text: entry.data.text, ...(step === undefined ? {} : { step }) });
  },
  words: () => 'remark kept',
};
