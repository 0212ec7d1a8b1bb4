import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { wantedOf } from '../parts/all.ts';
import type { JobState } from '../state.ts';
import type { Pending } from '../stamp.ts';
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

const todoOf = {
  outside: 'another try with its reason, or dispose: rework, repair, use-as-is, scrap or ask',
  undecided: 'a finer tool, or dispose',
};

const finalTodo = 'dispose of it before another try: rework, repair, use-as-is, scrap or ask';

/** The ways to dispose of what was done although a rule refused it. */
export const waysToDispose = ({ plan }: JobState): string =>
  plan.strict
    ? 'dispose of it: rework or scrap (the procedure is strict)'
    : 'dispose of it: rework, repair, use-as-is, scrap or ask';

/** A value outside its limits never passes, and an undecided one never finishes a step. Nor does what a rule refused and was done. */
export const troubleRefusals = (job: JobState, step: Step): readonly Refusal[] =>
  troublesOf(job, step).map(({ verdict, what, isFinal }) => {
    if (verdict === 'refused') return refusal('nonconformance-open', what, waysToDispose(job));
    return refusal(verdict, what, isFinal === true ? finalTodo : todoOf[verdict]);
  });

/** What was entered for the same thing although a rule refused it is decided before it is tried again. */
export const pendingRefusals = (job: JobState, what: string, acts: readonly Pending[]): readonly Refusal[] =>
  acts.some(({ pending }) => pending === true)
    ? [
        refusal(
          'nonconformance-open',
          `${what} has a value that a rule refused, and nobody has decided about it`,
          waysToDispose(job),
        ),
      ]
    : [];
