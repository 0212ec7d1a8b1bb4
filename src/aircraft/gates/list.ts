import { err, ok, usage, type Outcome } from '../../fault/fault.ts';

/** A list of gates for a person to accept or change. Common practice, no source. */
export const proposedGates: readonly string[] = ['close-up', 'cover', 'first-start', 'first-flight'];

const gateForm = /^[a-z0-9]+(-[a-z0-9]+)*$/;

/** Gates as a person types them, with commas between, in their order; `none` where the build has none yet. Fault (usage): `gate-unreadable`. */
export const readGates = (text: string): Outcome<readonly string[]> => {
  const gates = text
    .split(',')
    .map((gate) => gate.trim())
    .filter((gate) => gate !== '' && gate !== 'none');
  const odd = gates.find((gate) => !gateForm.test(gate));
  const again = gates.find((gate, index) => gates.indexOf(gate) !== index);
  if (odd !== undefined)
    return err(
      usage('gate-unreadable', `"${odd}" is not a gate's id`, 'use a to z, digits and hyphens: close-up, cover'),
    );
  return again === undefined
    ? ok(gates)
    : err(usage('gate-unreadable', `${again} is named twice`, 'name each gate once'));
};
