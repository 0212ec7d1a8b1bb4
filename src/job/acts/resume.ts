import { stampOf, type JobDraft } from '../draft.ts';
import type { JobEntry } from '../entry.ts';
import type { Interruption } from '../state.ts';
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
  evolve: (draft, entry) => endInterruption(draft, entry, entry.data.rechecked),
  words: () => 'taken up again',
  correct: correctsItem<'resume', Resumed>(
    {
      items: ({ interruptions }) => interruptions.flatMap(({ resumed }) => resumed ?? []),
      names: { rechecked: 'rechecked' },
    },
    { bare: () => 'rechecked' },
  ),
};
