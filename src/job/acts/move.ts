import { castDraft, produce } from 'immer';
import { err, usage } from '../../fault/fault.ts';
import { stampOf } from '../draft.ts';
import { powerRefusals } from '../refusals/power.ts';
import { revisedTo } from '../revised.ts';
import type { JobState, Move } from '../state.ts';
import { stepStateOf } from '../step-state.ts';
import { takeUnless, type MoveAct } from './act.ts';
import { openAgain, planIn, textNamed } from './revision-asked.ts';
import { notCorrected } from './correctable.ts';

/** How many steps of the job are finished. */
const finishedOf = (job: JobState): number =>
  job.plan.steps.filter((step) => stepStateOf(job, step.step).state === 'done').length;

/** Puts a job, under way or complete, on another revision. Finished steps that do not meet the new page are open again. */
export const moveAct: MoveAct = {
  decide: (ask) => {
    const { job, data, command, moment } = ask;
    const named = textNamed(ask);
    if (!named.ok) return named;
    if (data.sha256 === job.sha256)
      return err(usage('revision-same', `${job.id} follows this very text already`, 'name another revision'));
    const plan = planIn(job, named.value);
    if (!plan.ok) return plan;
    const { job: carried, reopened } = revisedTo(job, plan.value, data.sha256, data.renamed ?? {});
    const stands = finishedOf(carried) - reopened.length;
    const gone = carried.former.slice(job.former.length).map(({ step }) => step);
    return takeUnless(ask, undefined, powerRefusals(command.by, ['builder'], 'decide this', moment), {
      data: { reopens: reopened.map(({ step }) => step) },
      told: [
        `${job.id} follows revision ${named.value.revision} from here on; ${stands} finished steps stand`,
        ...reopened.map(({ step, because }) => `${step} is open again: ${because}`),
        ...(gone.length > 0 ? [`not in the new revision, kept in the record: ${gone.join(', ')}`] : []),
      ],
    });
  },
  move: (job, entry, plan) => {
    const { sha256, renamed = {}, reopens = [] } = entry.data;
    const { job: carried, names } = revisedTo(job, plan, sha256, renamed);
    const moved: Move = {
      ...stampOf(entry),
      revision: plan.revision,
      sha256,
      from: { revision: job.revision, sha256: job.sha256 },
      before: job.plan,
      renamed: names,
      reopened: reopens,
    };
    return produce({ ...carried, sha256 }, (draft) => {
      draft.moves.push(castDraft(moved));
      openAgain(draft, plan, reopens, entry, `revision ${plan.revision}`);
    });
  },
  words: () => undefined,
  correct: notCorrected('follow the right revision (move REVISION)'),
};
