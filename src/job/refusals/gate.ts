import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { openBefore } from '../gate.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';

/** What is left loose is closed before a gate that is still to come. */
export const gatePassedRefusals = (before: string, { around }: Pick<Moment, 'around'>): readonly Refusal[] => {
  if (!around.gatePassed(before)) return [];
  const next = around.gates.find((gate) => !around.gatePassed(gate));
  return [
    refusal(
      'gate-passed',
      `the gate ${before} is passed; nothing can be closed before it any more`,
      next === undefined
        ? 'every gate of the build is passed: close it now, or name a further gate in build.yaml'
        : `name the next gate: before=${next}`,
    ),
  ];
};

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
