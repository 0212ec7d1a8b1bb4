import { takeUnless, type Act } from './act.ts';
import { holdAsked, isOwnWork, keepLook, lookRefusals } from './hold-asked.ts';
import { notCorrected } from './correctable.ts';

/** Records a look at answered findings that does not yet release the hold. */
export const reinspectAct: Act<'reinspect'> = {
  decide: (ask) => {
    const asked = holdAsked(ask, ask.data.person);
    return asked.ok
      ? takeUnless(ask, asked.value.step, lookRefusals(ask, asked.value), {
          data: isOwnWork(ask, asked.value) ? { self: true } : {},
        })
      : asked;
  },
  evolve: (draft, entry, job) => keepLook(draft, entry, job, { remark: entry.data.remark }),
  words: () => 'the look is recorded',
  correct: notCorrected('what was signed stays as it was signed: look again; a remark may be added'),
};
