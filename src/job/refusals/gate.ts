import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { sheetFor } from '../gate.ts';
import { gateItemWords } from '../gate-sheet.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';

/** As many items as one line may name. More are counted there, and all of them are listed beneath. */
const namedAtOnce = 3;

/** What is left loose is closed before a gate that is still to come. */
export const gatePassedRefusals = (before: string, { around }: Pick<Moment, 'around'>): readonly Refusal[] => {
  if (!around.gatePassed(before)) return [];
  const isToCome = (gate: string): boolean => !around.gatePassed(gate);
  const next = around.gates.slice(around.gates.indexOf(before)).find(isToCome) ?? around.gates.find(isToCome);
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
  const { open } = sheetFor(job, step, step.gate, around);
  if (open.length === 0) return [];
  const items = open.map(gateItemWords);
  const todo = 'close what is open, or depart from it with its reason (depart gate-open)';
  const what = `the gate ${step.gate} has ${open.length} open`;
  return items.length > namedAtOnce
    ? [{ ...refusal('gate-open', `${what}, each listed (dryfit gate ${step.gate})`, todo), items }]
    : [refusal('gate-open', `${what}: ${items.join('; ')}`, todo)];
};
