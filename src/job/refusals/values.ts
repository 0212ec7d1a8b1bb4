import { refusal, type Refusal } from '../../fault/fault.ts';
import type { QuantityReading, Step } from '../../procedure/model.ts';
import type { Moment } from '../moment.ts';
import { partsMissing } from '../parts.ts';
import type { JobState } from '../state.ts';
import type { Surroundings } from '../surroundings.ts';
import { slotsOf } from '../values.ts';
import { troublesOf, twinNow } from '../verdicts.ts';

/** A step is finished when all its parts are done. */
export const partRefusals = (job: JobState, step: Step): readonly Refusal[] => {
  const missing = partsMissing(job, step);
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

/** Outside never passes, and undecided never finishes a step. */
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

const twinsApart = (job: JobState, step: Step, around: Surroundings): readonly QuantityReading[] =>
  step.readings.flatMap((reading) =>
    reading.kind === 'quantity' && reading.twin
      ? slotsOf(reading).flatMap((slot) => (twinNow(job, reading, slot, around)?.outside === true ? [reading] : []))
      : [],
  );

/** The sides of a twin reading must not differ by more than its limits. */
export const twinRefusals = (job: JobState, step: Step, { around }: Moment): readonly Refusal[] =>
  twinsApart(job, step, around).map((reading) =>
    refusal(
      'twin-open',
      `the sides of ${reading.reading} differ by more than ${reading.twin?.text ?? ''}`,
      'rework one side, then enter its value again',
    ),
  );
