import { stampOf, type JobDraft } from '../draft.ts';
import type { Park } from '../state.ts';
import type { JobEntry } from '../entry.ts';
import { takeUnless, type Act } from './act.ts';
import { correctsItem } from './correctable.ts';

type Ended = NonNullable<Park['ended']>;

/** Ends the parking of a job. Work on a step ends it too, so `unpark` is never required. */
export const endPark = (draft: JobDraft, entry: JobEntry, arrived?: string): void => {
  const last = draft.parks.at(-1);
  if (last && !last.ended) last.ended = { ...stampOf(entry), ...(arrived === undefined ? {} : { arrived }) };
};

export const unparkAct: Act<'unpark'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry) => endPark(draft, entry, entry.data.arrived),
  words: () => 'taken up again',
  correct: correctsItem<'unpark', Ended>(
    { items: ({ parks }) => parks.flatMap(({ ended }) => ended ?? []), names: { arrived: 'arrived' } },
    { bare: () => 'arrived' },
  ),
};
