import { stampOf } from '../evolve/draft.ts';
import { currentStep } from '../where.ts';
import { settle, type Act } from './act.ts';

export const remark: Act<'remark'> = {
  decide: (ask) => settle(ask, undefined, []),
  evolve: (draft, entry, job) => {
    const step = currentStep(job)?.step;
    draft.remarks.push({ ...stampOf(entry), text: entry.data.text, ...(step === undefined ? {} : { step }) });
  },
  words: () => 'remark kept',
};
