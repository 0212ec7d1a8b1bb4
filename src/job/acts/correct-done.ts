import { own } from '../../fault/own.ts';
import { err, usage } from '../../fault/fault.ts';
import type { JobDraft } from '../draft.ts';
import type { Breach } from '../stamp.ts';
import type { JobState } from '../state.ts';
import type { JobVerb } from '../verbs.ts';
import type { Correctable, SaidBy } from './correctable.ts';

/*
 * Corrects why something was done although a rule refused it. The reason is kept in the same place whatever the verb, so every verb that
 * takes `done` has this correction beside its own.
 */

type Said = SaidBy<JobVerb> & { readonly done?: string };

const breachBy = ({ breaches }: JobState, target: string): Breach | undefined =>
  breaches.find(({ entry }) => entry === target);

/** The values that took the reason of `done` for their own, because they were another try. */
const putReasons = (draft: JobDraft, { entry, on, step, reason: was }: Breach, reason: string): void => {
  for (const value of [...(own(draft.tries, on) ?? []), ...(own(draft.fasteners, step) ?? [])])
    if (value.entry === entry && value.reason === was) value.reason = reason;
};

/** The correction of an entry, with its `done` where a rule refused it. */
export const withDone = (row: Correctable<JobVerb>, job: JobState, target: string): Correctable<JobVerb> => {
  const breach = breachBy(job, target);
  if (!breach) return row;
  return {
    ...row,
    fields: [...row.fields, 'done' as (typeof row.fields)[number]],
    said: (of, entry) => {
      const said = row.said(of, entry);
      return said && ({ ...said, done: breachBy(of, entry)?.reason } as Said);
    },
    judge: (ask, correction) => {
      if ((correction.now as Said).done === undefined)
        return err(
          usage('not-corrected', `a rule refused ${target}, and it was done`, 'give the right reason: value.done'),
        );
      return row.judge?.(ask, correction) ?? { ok: true, value: {} };
    },
    put: (draft, correction, of) => {
      row.put(draft, correction, of);
      const { done = breach.reason } = correction.now as Said;
      putReasons(draft, breach, done);
      for (const one of draft.breaches) if (one.entry === target) one.reason = done;
    },
  };
};
