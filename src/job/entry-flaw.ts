import { wrong, type Fault } from '../fault/fault.ts';
import { parseInstant } from '../quantity/time.ts';
import type { Data, Entry } from './entry.ts';
import { givenData, shapeData } from './shape.ts';
import { isVerb, verbSpec, type Verb } from './verbs.ts';

const malformed = (entry: Entry, what: string): Fault =>
  wrong(
    'entry-malformed',
    `entry ${entry.id} (${entry.type} by ${entry.by}) is none that dryfit writes: ${what}`,
    'ask whoever wrote it; without that journal file the build is as it was before',
  );

/** A field that the engine or the workshop adds stands in a line as they wrote it: no verb adds a bare null or an empty text. */
const addedFlaw = (verb: Verb, data: Data): string | undefined => {
  const { brought = [], derived = [] } = verbSpec(verb);
  const odd = [...brought, ...derived].find((name) => data[name] === null || data[name] === '');
  return odd === undefined ? undefined : `${odd} holds nothing`;
};

/**
 * What keeps an entry out of the journal's own tongue: an instant that is none, a field that its verb does not have, or has in another
 * shape. A writer of another machine signs what they like; whatever is folded after this has the shapes of the verbs' table.
 */
export const entryFlaw = (entry: Entry): Fault | undefined => {
  for (const instant of [entry.at, entry.when])
    if (instant !== undefined && !parseInstant(instant).ok) return malformed(entry, `there is no instant ${instant}`);
  if (!isVerb(entry.type)) return undefined;
  const shaped = shapeData(entry.type, givenData(entry.type, entry.data));
  if (!shaped.ok) return malformed(entry, `${shaped.fault.what}; ${shaped.fault.todo}`);
  const added = addedFlaw(entry.type, entry.data);
  return added === undefined ? undefined : malformed(entry, added);
};
