import { nothingOpen, takeUnless, type Act, type Foreseen, type Intended } from './act.ts';
import { holdAhead, holdAsked, isOwnWork, keepLook } from './hold-asked.ts';
import { notCorrected } from './correctable.ts';

const foresee = (intended: Intended<'reinspect'>): Foreseen => {
  const ahead = holdAhead(intended);
  return { step: ahead?.asked.step, refusals: ahead?.mayNotLook ?? [] };
};

/** Records a look at answered findings that does not yet release the hold. */
export const reinspectAct: Act<'reinspect'> = {
  decide: (ask) => {
    const asked = holdAsked(ask, ask.data.person);
    return asked.ok
      ? takeUnless(ask, asked.value.step, foresee({ ...ask, open: nothingOpen }).refusals, {
          data: isOwnWork(ask, asked.value) ? { self: true } : {},
        })
      : asked;
  },
  foresee,
  evolve: (draft, entry, job) => keepLook(draft, entry, job, { remark: entry.data.remark }),
  words: () => 'the look is recorded',
  correct: notCorrected('what was signed stays as it was signed: look again; a remark may be added'),
};
