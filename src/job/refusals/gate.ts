import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { openBefore } from '../gate.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';

/** A gate is not passed while something is open before it. */
export const gateRefusals = (job: JobState, step: Step, { around }: Moment): readonly Refusal[] => {
  if (step.gate === undefined) return [];
  const open = openBefore(job, step, step.gate, around);
  return open.length === 0
    ? []
    : [
        refusal(
          'gate-open',
          `the gate ${step.gate} has ${open.length} open: ${open.map((one) => one.what).join('; ')}`,
          'close what is open, or depart from it with its reason (depart gate-open)',
        ),
      ];
};
