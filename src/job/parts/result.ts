import type { Result, Step } from '../../procedure/model.ts';
import { decideCalculated, type Verdict } from '../../quantity/decision.ts';
import type { JobState } from '../state.ts';
import { limitsNow, resultNow } from '../values.ts';
import { nothingToSetAside, type JobPart, type Trouble, type Wanted } from './part.ts';

/** The verdict on a calculated value. The value has an error bound, and a limit within that bound leaves the value undecided. */
export const verdictOfResult = (job: JobState, result: Result): Verdict | undefined => {
  const value = resultNow(job, result.result)?.quantity;
  const limits = result.limits && limitsNow(job, result.limits);
  return value && limits ? decideCalculated(value, limits) : undefined;
};

const resultWants = (job: JobState, { result }: Result): readonly Wanted[] => {
  const now = resultNow(job, result);
  return now?.quantity ? [] : [{ part: 'result', result, what: `${result}${now?.why ? `: ${now.why}` : ''}` }];
};

const resultTroubles = (job: JobState, step: Step, result: Result): readonly Trouble[] => {
  const verdict = verdictOfResult(job, result);
  const value = resultNow(job, result.result)?.quantity;
  if (!value || (verdict !== 'outside' && verdict !== 'undecided')) return [];
  return [
    {
      on: result.result,
      step: step.step,
      key: `${result.result}=${value.text}`,
      verdict,
      what: `${result.result} is ${value.text}, ${verdict} ${result.limits?.text ?? ''}`.trim(),
    },
  ];
};

/** A result is calculated from its readings whenever somebody needs it, so the job keeps nothing of it. */
export const jobResult: JobPart = {
  wants: (job, step) => step.results.flatMap((one) => resultWants(job, one)),
  troubles: (job, step) => step.results.flatMap((one) => resultTroubles(job, step, one)),
  setAside: nothingToSetAside,
};
