import { refusal, type Refusal } from '../../fault/fault.ts';
import type { LoosePart, Step } from '../../procedure/model.ts';
import { isOpenItem, leftOpen } from '../loose.ts';
import type { Moment } from '../moment.ts';
import type { JobState } from '../state.ts';
import { supersede, withStep, type JobPart } from './part.ts';

/** How many of an item are still out although the step that left them has been taken apart since. */
const stillOut = (job: JobState, step: Step, item: string): number =>
  job.loose
    .filter((one) => one.item === item && one.step === step.step && one.redone !== undefined)
    .reduce((sum, one) => sum + leftOpen(one), 0);

/**
 * True where the step has left the item since it was last begun anew, or where as many as it leaves never came back from the time before:
 * the tag that is still open counts, and nobody writes a second one for the same plug.
 */
const isLeft = (job: JobState, step: Step, { item, count }: LoosePart): boolean =>
  job.loose.some((one) => one.item === item && one.step === step.step && one.redone === undefined) ||
  stillOut(job, step, item) >= count;

const leaveWords = (job: JobState, step: Step, { item, left }: LoosePart): string => {
  const out = stillOut(job, step, item);
  return out === 0
    ? `${item} left ${left}, counted`
    : `${item} left ${left}: ${out} still out, count those left besides`;
};

const isClosedItem = (job: JobState, item: string): boolean =>
  job.closings.some((closing) => closing.item === item && closing.left === 0 && closing.superseded === undefined);

/** Items that a step closes are closed whole: every tag of that item on this side of the build, whichever job left it. */
const closesRefusals = (job: JobState, step: Step, { around }: Moment): readonly Refusal[] =>
  step.closes.length === 0
    ? []
    : around.looseItems
        .filter((one) => step.closes.includes(one.item) && !one.skipped && isOpenItem(one))
        .filter(({ side }) => side === undefined || job.side === undefined || side === job.side)
        .map(({ tag, item, job: owner, ...one }) =>
          refusal(
            'part-missing',
            `${step.step} closes ${item}, and ${leftOpen(one)} of ${tag}${owner === job.id ? '' : ` of ${owner}`} are still open`,
            `count them in: close ${tag} count=…`,
          ),
        );

export const jobLoose: JobPart = {
  wants: (job, step) => [
    ...step.loose
      .filter((leave) => !isLeft(job, step, leave))
      .map((leave) => ({ part: 'loose' as const, leave, what: leaveWords(job, step, leave) })),
    ...step.closes
      .filter((item) => !isClosedItem(job, item))
      .map((close) => ({ part: 'loose' as const, close, what: `${close} closed, counted` })),
  ],
  refuses: closesRefusals,
  /** What was left stays open. What was closed here is open again, because the work that closed it is taken apart. */
  setAside: (draft, step, entry) => {
    for (const item of draft.loose) if (item.step === step.step && !item.skipped) item.redone ??= entry;
    const closings = draft.closings.filter((closing) => step.closes.includes(closing.item));
    supersede(closings, entry);
    const undone = new Set(closings.map((closing) => closing.entry));
    for (const item of draft.loose)
      supersede(
        item.closings.filter((closing) => undone.has(closing.entry)),
        entry,
      );
  },
  rekey: (job, rename) => ({ loose: withStep(job.loose, rename) }),
};
