import type { Power } from '../job/surroundings.ts';
import type { Call } from './spec.ts';

/** Prints the key with which a person signs from now on; with `powers`, what they have signed for with it. The exit code is 0. */
export const printKey = (call: Call, person: string, fingerprint: string, powers: readonly Power[] = []): number => {
  if (call.flag('json')) call.print.json({ person, key: fingerprint, ...(powers.length === 0 ? {} : { powers }) });
  else if (powers.length === 0) call.print.lines(`${person} signs with ${fingerprint}`);
  else call.print.lines(`${person} has signed for: ${powers.join(', ')}`);
  return 0;
};
