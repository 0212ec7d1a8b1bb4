import { stampOf, type JobDraft } from '../draft.ts';
import type { JobEntry } from '../entry.ts';
import type { Interruption, TakenUp } from '../state.ts';
import { isInterrupted } from '../where.ts';
import { takeUnless, type Act } from './act.ts';
import { correctsItem } from './correctable.ts';

type Resumed = NonNullable<Interruption['resumed']>;

/** Ends an open interruption. Work on a step ends it too, so `resume` is never required. */
export const endInterruption = (draft: JobDraft, entry: JobEntry, rechecked: readonly string[] = []): void => {
  const last = draft.interruptions.at(-1);
  if (last && !last.resumed) last.resumed = { ...stampOf(entry), rechecked: [...rechecked] };
};

export const resumeAct: Act<'resume'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry, job) => {
    const { rechecked = [] } = entry.data;
    if (isInterrupted(job)) endInterruption(draft, entry, rechecked);
    else draft.takenUp.push({ ...stampOf(entry), rechecked: [...rechecked] });
  },
  words: () => 'taken up again',
  correct: correctsItem<'resume', Resumed | TakenUp>(
    {
      items: ({ interruptions, takenUp }) => [...interruptions.flatMap(({ resumed }) => resumed ?? []), ...takenUp],
      names: { rechecked: 'rechecked' },
    },
    { bare: () => 'rechecked' },
  ),
};
