import { usage, type Fault } from './fault.ts';
import { suggest } from './nearest.ts';

/** How many of the known ids are named where none is near. */
const shownIds = 20;

/**
 * Called by an id that is not there; exit 2. `what` says so in full; what to do is the nearest known id, else `otherwise`,
 * else what there is.
 */
export const unknownId = (what: string, id: string, known: readonly string[], otherwise?: string): Fault => {
  const near = suggest(id, known);
  const list = known.slice(0, shownIds).join(', ') || 'none';
  return usage('unknown-id', what, near === undefined ? (otherwise ?? `known: ${list}`) : `did you mean '${near}'?`);
};
