import { err, ok, refusal, usage, type Outcome, type Refusal } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { Step } from '../../procedure/model.ts';
import { stepOf } from '../../procedure/plan.ts';
import { msOf } from '../cure.ts';
import { stampOf, stepDraft, touch, type JobDraft } from '../draft.ts';
import type { EntryOf, TakenOf } from '../entry.ts';
import { isOpenItem, leftOpen } from '../loose.ts';
import { powerRefusals } from '../refusals/power.ts';
import type { JobState, StepState } from '../state.ts';
import type { Surroundings } from '../surroundings.ts';
import { takeUnless, type Act, type Ask } from './act.ts';
import type { Correctable } from './correctable.ts';

type Tagged = Surroundings['looseItems'][number];

/** The open item that a person names by its tag, or by its name where only one of that name is open. */
const itemNamed = ({ job, data, moment }: Ask<'close'>): Outcome<Tagged> => {
  const { looseItems } = moment.around;
  const tagged = looseItems.find((one) => one.tag === data.tag);
  if (tagged && !isOpenItem(tagged))
    return err(usage('closed-already', `${tagged.tag} ${tagged.item} is closed`, 'leave it anew if it is out again'));
  if (tagged) return ok(tagged);
  const open = looseItems.filter(isOpenItem);
  const named = open.filter((one) => one.item === data.tag);
  const own = named.filter(({ side }) => side === undefined || job.side === undefined || side === job.side);
  const [only, ...more] = own.length > 0 ? own : named;
  if (only && more.length > 0)
    return err(
      usage(
        'tag-wanted',
        `${named.length} tags are open for ${data.tag}: ${named.map((one) => `${one.tag} of ${one.job}`).join(', ')}`,
        'name the tag that was counted',
      ),
    );
  if (only) return ok(only);
  const known = open.map((one) => one.tag);
  const fault = unknownId(`no open loose item '${data.tag}'`, data.tag, known);
  return err({ ...fault, todo: `${fault.todo}; if there is none, enter count=0 and its reason` });
};

/** A step is left undone only by a departure, and never where it is a proof or a hold. */
const notDoneRefusals = ({ job, command, moment }: Ask<'close'>, step: Step | undefined): readonly Refusal[] => [
  ...powerRefusals(command.by, ['builder'], 'leave a step undone', moment),
  ...(step && step.proves.length > 0
    ? [
        refusal(
          'proof-missing',
          `${step.step} proves ${step.proves.join(', ')}; a proof is not left undone`,
          `do ${step.step}`,
        ),
      ]
    : []),
  ...(step?.hold?.kind === 'hold'
    ? [refusal('hold-closed', `${step.step} is a hold point; it is not left undone`, 'have it looked at and released')]
    : []),
  ...(job.plan.strict
    ? [
        refusal(
          'strict',
          `${job.procedure} is strict: no step of it is left undone`,
          `do it${step ? `: ${step.step}` : ''}; the only other way on is another revision`,
        ),
      ]
    : []),
];

/** A tag of a step that was left for later: counting does not tick the step. Only a reason ends the tag without the work. */
const closeSkip = (ask: Ask<'close'>, item: Tagged): Outcome<TakenOf<'close'>> => {
  const { job, data } = ask;
  const step = item.step ?? item.item;
  if (data.count !== 0)
    return err(
      usage(
        'step-left',
        `${item.tag} is the step ${step}, left for later; a count does not finish it`,
        `do it: begin ${step}, then finish it; or enter that it is not done: close ${item.tag} count=0 reason=…`,
      ),
    );
  if (item.job !== job.id)
    return err(
      usage('other-job', `${item.tag} is a step of ${item.job}`, `enter it in that job: do ${item.job} close …`),
    );
  const planned = stepOf(job.plan, step);
  return takeUnless(ask, planned, notDoneRefusals(ask, planned), {
    data: { tag: item.tag, item: item.item, left: 0, gone: 1, step },
    told: [`${item.tag} is closed; ${step} is entered as not done, a departure`],
  });
};

/** A step declares that it closes an item of which nothing is open. That nothing was there is entered all the same, with its reason. */
const closeNothing = (ask: Ask<'close'>): Outcome<TakenOf<'close'>> | undefined => {
  const { job, data, moment } = ask;
  const isClosedHere = job.plan.steps.some((step) => step.closes.includes(data.tag));
  const isOpen = moment.around.looseItems.some((one) => one.item === data.tag && isOpenItem(one));
  return isClosedHere && !isOpen && data.count === 0 && data.reason !== undefined
    ? takeUnless(ask, undefined, [], {
        data: { item: data.tag, left: 0, gone: 0 },
        told: [`nothing of ${data.tag} was open`],
      })
    : undefined;
};

const closeCounted = (ask: Ask<'close'>, item: Tagged): Outcome<TakenOf<'close'>> => {
  const { count } = ask.data;
  const open = leftOpen(item);
  if (count > open)
    return err(usage('value-unreadable', `${item.tag} ${item.item} has ${open} open, not ${count}`, 'count again'));
  const left = count === 0 ? 0 : open - count;
  const isGone = count === 0 ? { gone: open } : {};
  return takeUnless(ask, undefined, [], {
    data: { tag: item.tag, item: item.item, left, ...isGone },
    told: [left === 0 ? `${item.tag} ${item.item} is closed` : `${item.tag} ${item.item}: ${left} still open`],
  });
};

/** Not done: the step stays left for later, its tag is closed, and the departure says why. */
const evolveNotDone = (draft: JobDraft, entry: EntryOf<'close'>, step: string): void => {
  const because = entry.data.reason ?? '';
  const state = stepDraft(draft, step);
  if (state.skip) state.skip.notDone = { ...stampOf(entry), because };
  delete state.begun;
  draft.departures.push({ ...stampOf(entry), code: 'manual', says: `do ${step}`, did: 'not done', because, step });
  touch(draft, step, entry);
};

type Closed = { readonly count: number; readonly gone?: number; readonly reason?: string };

const closingsBy = ({ closings, loose }: JobState, target: string): readonly (Closed & { readonly entry: string })[] =>
  [...closings, ...loose.flatMap((item) => item.closings)].filter(({ entry }) => entry === target);

type NotDone = NonNullable<NonNullable<StepState['skip']>['notDone']>;

const notDoneBy = ({ steps }: JobState, target: string): NotDone | undefined =>
  Object.values(steps).find(({ skip }) => skip?.notDone?.entry === target)?.skip?.notDone;

/** Why a step was left undone is said at the step, and in the departure that this is. */
const putNotDone = (draft: JobDraft, target: string, because: string): void => {
  if (!notDoneBy(draft as JobState, target)) return;
  for (const { skip } of Object.values(draft.steps))
    if (skip?.notDone?.entry === target) skip.notDone = { ...skip.notDone, because };
  for (const departure of draft.departures) if (departure.entry === target) departure.because = because;
};

/** A miscount is corrected in the last closing of a tag; what an earlier one counted was counted against what was open then. */
const correctedClose: Correctable<'close'> = {
  fields: ['count', 'reason'],
  otherwise: 'leave it loose anew, and close the right tag',
  bare: () => 'count',
  said: (job, target) => {
    const [closing] = closingsBy(job, target);
    const notDone = notDoneBy(job, target);
    if (notDone) return { count: 0, reason: notDone.because };
    return closing
      ? { count: closing.count, ...(closing.reason === undefined ? {} : { reason: closing.reason }) }
      : undefined;
  },
  judge: ({ job, moment }, { target, now }) => {
    if (notDoneBy(job, target))
      return now.count === 0 && now.reason !== undefined
        ? ok({ data: { left: 0, gone: 1 } })
        : err(usage('not-corrected', `${target} left a step undone`, 'give the right reason; do the step to tick it'));
    const item = moment.around.looseItems.find(({ closings }) => closings.some(({ entry }) => entry === target));
    if (!item) return err(usage('not-corrected', `${target} closed nothing that was open`, 'enter a remark'));
    if (item.closings.at(-1)?.entry !== target)
      return err(
        usage('not-corrected', `${item.tag} was closed further since`, `correct ${item.closings.at(-1)?.entry ?? ''}`),
      );
    const open = leftOpen({ ...item, closings: item.closings.slice(0, -1) });
    const { count = 0, reason } = now;
    if (count > open || (count === 0 && reason === undefined))
      return err(
        usage(
          'value-unreadable',
          `${item.tag} ${item.item} had ${open} open, not ${count}`,
          'count again; 0 wants its reason',
        ),
      );
    const left = count === 0 ? 0 : open - count;
    return ok({
      data: { left, ...(count === 0 ? { gone: open } : {}) },
      told: [left === 0 ? `${item.tag} ${item.item} is closed` : `${item.tag} ${item.item}: ${left} still open`],
    });
  },
  put: (draft, { target, now, entry }) => {
    const { left = 0, gone } = entry.data;
    const { count = 0, reason } = now;
    putNotDone(draft, target, reason ?? '');
    for (const closing of [...draft.closings, ...draft.loose.flatMap((item) => item.closings)]) {
      if (closing.entry !== target) continue;
      closing.count = count;
      if (gone === undefined) delete closing.gone;
      else closing.gone = gone;
      if (reason === undefined) delete closing.reason;
      else closing.reason = reason;
      if ('left' in closing) closing.left = left;
    }
  },
  steps: ({ closings, plan }, target) => {
    const items = closings.filter(({ entry }) => entry === target).map(({ item }) => item);
    return plan.steps.filter((step) => step.closes.some((item) => items.includes(item))).map(({ step }) => step);
  },
};

/**
 * Closes a loose item, by count. The job that closes it and the job that left it both record the closing. A count of 0 with its reason ends
 * what no longer exists; for a step that was left for later it says that the step is not done.
 */
export const closeAct: Act<'close'> = {
  decide: (ask) => {
    const { count, reason } = ask.data;
    if (count < 0) return err(usage('value-unreadable', 'a count is 0 or more', 'count again'));
    if (count === 0 && reason === undefined)
      return err(usage('field-missing', 'a count of 0 wants its reason', 'say why with reason=…, or count again'));
    const nothing = closeNothing(ask);
    if (nothing) return nothing;
    const item = itemNamed(ask);
    if (!item.ok) return item;
    if (msOf(ask.when) < msOf(item.value.when))
      return err(
        usage(
          'when-before',
          `${item.value.tag} was left at ${item.value.when}; it was not closed before that`,
          'give the time at which it was closed',
        ),
      );
    return item.value.skipped ? closeSkip(ask, item.value) : closeCounted(ask, item.value);
  },
  evolve: (draft, entry) => {
    const { tag, item, count, left, gone, reason, step } = entry.data;
    const closing = {
      ...stampOf(entry),
      count,
      ...(gone === undefined ? {} : { gone }),
      ...(reason === undefined ? {} : { reason }),
    };
    const tagged = draft.loose.find((one) => one.tag === tag);
    if (tagged) tagged.closings.push({ ...closing });
    if (step !== undefined) evolveNotDone(draft, entry, step);
    else if (entry.job === draft.id) draft.closings.push({ ...closing, tag, item, left });
  },
  words: ({ count }) => (count === 0 ? 'ended with its reason' : 'counted'),
  correct: correctedClose,
};
