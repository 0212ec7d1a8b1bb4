import { isParked } from '../where.ts';
import { stampOf, type JobDraft } from '../draft.ts';
import type { Park, TakenUp } from '../state.ts';
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
  evolve: (draft, entry, job) => {
    const { arrived } = entry.data;
    if (isParked(job)) endPark(draft, entry, arrived);
    else draft.takenUp.push({ ...stampOf(entry), ...(arrived === undefined ? {} : { arrived }) });
  },
  words: () => 'taken up again',
  correct: correctsItem<'unpark', Ended | TakenUp>(
    {
      items: ({ parks, takenUp }) => [...parks.flatMap(({ ended }) => ended ?? []), ...takenUp],
      names: { arrived: 'arrived' },
    },
    { bare: () => 'arrived' },
  ),
};
