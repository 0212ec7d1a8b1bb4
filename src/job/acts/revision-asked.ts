import { err, ok, usage, type Outcome } from '../../fault/fault.ts';
import type { Procedure } from '../../procedure/model.ts';
import { planFor, type Plan } from '../../procedure/plan.ts';
import { own } from '../../fault/own.ts';
import type { EntryOf } from '../entry.ts';
import { reopen, stepDraft, voidReleases, type JobDraft } from '../draft.ts';
import type { JobState } from '../state.ts';
import type { Ask } from './act.ts';

/** The procedure text that a move or a decision names; a fault where the workshop does not have that text. */
export const textNamed = ({ moment }: Pick<Ask, 'moment'>): Outcome<Procedure> => {
  const { named } = moment.around;
  return named === undefined
    ? err(
        usage(
          'revision-unknown',
          'the text of that revision is not at hand',
          'name a revision that lies among the procedures, or that the state knows',
        ),
      )
    : ok(named);
};

/** The plan of a revision for this job; a fault where the job cannot follow it. */
export const planIn = (job: JobState, named: Procedure): Outcome<Plan> => {
  if (named.procedure !== job.procedure)
    return err(
      usage(
        'procedure-differs',
        `that is a revision of ${named.procedure}, and ${job.id} follows ${job.procedure}`,
        `name a revision of ${job.procedure}`,
      ),
    );
  const isSided = job.side === undefined ? named.each.length === 0 : named.each.includes(job.side);
  return isSided
    ? ok(planFor(named, job.side))
    : err(
        usage(
          'side-unknown',
          `revision ${named.revision} of ${named.procedure} is for ${named.each.join(', ') || 'no sides'}`,
          'start the procedure anew in its new revision',
        ),
      );
};

/** Opens steps again, and voids every release that covers them. */
export const openAgain = (
  draft: JobDraft,
  plan: Plan,
  steps: readonly string[],
  entry: EntryOf<'move' | 'resolve'>,
  because: string,
): void => {
  for (const step of steps) {
    const state = stepDraft(draft, step);
    if (state.state === 'todo') continue;
    reopen(state, entry, because);
    for (const look of own(draft.looks, step) ?? []) if (look.kind === 'release') look.voided ??= entry.id;
  }
  voidReleases(draft, plan, steps, entry);
};
