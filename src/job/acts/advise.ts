import type { Said } from '../state.ts';
import { stampOf } from '../draft.ts';
import { currentStep } from '../where.ts';
import { takeUnless, type Act } from './act.ts';
import { correctsItem } from './correctable.ts';

/** Advice is kept with the name of the adviser, and unlocks nothing. */
export const adviseAct: Act<'advise'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry, job) => {
    const step = currentStep(job)?.step;
    const { text, from } = entry.data;
    draft.remarks.push({ ...stampOf(entry), text, from, ...(step === undefined ? {} : { step }) });
  },
  words: () => 'kept as advice',
  correct: correctsItem<'advise', Said>({ items: ({ remarks }) => remarks, names: { text: 'text', from: 'from' } }),
};
