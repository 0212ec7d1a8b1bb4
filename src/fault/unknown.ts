import { usage, type Fault } from './fault.ts';
import { suggest } from './nearest.ts';

/** How many known ids are listed where none is similar. */
const shownIds = 20;

/**
 * The fault for an id that does not exist; exit 2. `what` states the fault in full. The advice is the nearest known id, else `otherwise`,
 * else a list of the known ids.
 */
export const unknownId = (what: string, id: string, known: readonly string[], otherwise?: string): Fault => {
  const near = suggest(id, known);
  const list = known.slice(0, shownIds).join(', ') || 'none';
  return usage('unknown-id', what, near === undefined ? (otherwise ?? `known: ${list}`) : `did you mean '${near}'?`);
};
