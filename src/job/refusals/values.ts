import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { wantedOf } from '../parts/all.ts';
import type { JobState } from '../state.ts';
import { troublesOf } from '../troubles.ts';

/** A step is finished only when all its parts are done. */
export const partRefusals = (job: JobState, step: Step): readonly Refusal[] => {
  const missing = wantedOf(job, step);
  return missing.length === 0
    ? []
    : [
        refusal(
          'part-missing',
          `${step.step} still wants ${missing.map((one) => one.what).join('; ')}`,
          'enter it, then finish',
        ),
      ];
};

/** A value outside its limits never passes, and an undecided one never finishes a step. */
export const troubleRefusals = (job: JobState, step: Step): readonly Refusal[] =>
  troublesOf(job, step).map(({ verdict, what }) =>
    refusal(
      verdict,
      what,
      verdict === 'outside'
        ? 'another try with its reason, or dispose: rework, repair, use-as-is, scrap or ask'
        : 'a finer tool, or dispose',
    ),
  );
