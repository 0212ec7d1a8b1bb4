import { stampOf, type JobDraft } from '../draft.ts';
import type { JobEntry } from '../entry.ts';
import { takeUnless, type Act } from './act.ts';

/** Ends the parking of a job. Work on a step ends it too, so `unpark` is never required. */
export const endPark = (draft: JobDraft, entry: JobEntry, arrived?: string): void => {
  const last = draft.parks.at(-1);
  if (last && !last.ended) last.ended = { ...stampOf(entry), ...(arrived === undefined ? {} : { arrived }) };
};

export const unparkAct: Act<'unpark'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry) => endPark(draft, entry, entry.data.arrived),
  words: () => 'taken up again',
};
