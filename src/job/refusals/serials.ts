import { refusal, type Refusal } from '../../fault/fault.ts';
import type { GatheredPart, Step } from '../../procedure/model.ts';
import { departureFor } from '../departure.ts';
import type { Moment } from '../moment.ts';
import { serialsOwed, serialsOwedIn, type SerialsOwed } from '../serials.ts';
import type { JobState } from '../state.ts';

const named = ({ part, title }: GatheredPart): string => (title === undefined ? part : `${title} (${part})`);

const owedRefusal = ({ need, owed, of }: SerialsOwed): Refusal =>
  refusal(
    'serial-missing',
    `${named(need)} has ${of === 1 ? 'no serial number' : `${of - owed} of ${of} serial numbers`} named`,
    `read it off the part and name it (part ${need.part} serial=…)`,
  );

/** A part that is in quarantine must not go in. */
const heldParts = (job: JobState, step: string | undefined, { around }: Moment): readonly Refusal[] =>
  job.fitted
    .filter((one) => one.step === step && one.superseded === undefined)
    .flatMap(({ part, serial }) => {
      const held = around.part(part, serial)?.quarantine;
      return held === undefined
        ? []
        : [
            refusal(
              'lot-expired',
              `${part} SN ${serial} is in quarantine: ${held.because}`,
              `use another part, or take it out once that is settled (dryfit stock restore ${part} serial=${serial})`,
            ),
          ];
    });

/** The parts that go in at a step must be named by their serial numbers before the step begins, because they are then covered or fixed. */
export const serialRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] => [
  ...serialsOwedIn(job, step).map(owedRefusal),
  ...heldParts(job, step.step, moment),
];

/** The serial numbers that the whole job still lacks, but for those of a step that departs from naming them. */
export const serialsUnnamed = (job: JobState): readonly SerialsOwed[] =>
  serialsOwed(job).filter(
    ({ steps }) => !steps.some((step) => departureFor(job, 'serial-missing', step)?.step === step.step),
  );

/** Before completion every serial number is named, also of a part that no step names. */
export const serialsOwedRefusals = (job: JobState): readonly Refusal[] => serialsUnnamed(job).map(owedRefusal);
