import type { Said } from '../state.ts';
import { stampOf } from '../draft.ts';
import { currentStep } from '../where.ts';
import { takeUnless, type Act } from './act.ts';
import { correctsItem } from './correctable.ts';

export const remarkAct: Act<'remark'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry, job) => {
    const step = currentStep(job)?.step;
    draft.remarks.push({ ...stampOf(entry), text: entry.data.text, ...(step === undefined ? {} : { step }) });
  },
  words: ({ text }) => `remark: ${text}`,
  correct: correctsItem<'remark', Said>(
    { items: ({ remarks }) => remarks, names: { text: 'text' } },
    { bare: () => 'text' },
  ),
};
