import { err, ok, refusal, usage, type Outcome, type Refusal } from '../../fault/fault.ts';
import type { Hold, Step } from '../../procedure/model.ts';
import { printInstant } from '../../quantity/time.ts';
import { msOf } from '../cure.ts';
import type { EntryOf } from '../entry.ts';
import { drawer, stampOf, stepDraft, touch, type JobDraft } from '../draft.ts';
import { inspectedSteps, namedPerformers, powersToLook } from '../hold.ts';
import { isNameOf } from '../people.ts';
import { clockRefusals } from '../refusals/clock.ts';
import { orderRefusals } from '../refusals/order.ts';
import { powerRefusals } from '../refusals/power.ts';
import type { JobState } from '../state.ts';
import type { Look } from '../judged.ts';
import { stepStateOf } from '../step-state.ts';
import { stepOf } from '../../procedure/plan.ts';
import type { LookVerb } from '../verbs.ts';
import { stepNamed, type Ask, type AskedJob, type Intended } from './act.ts';

/*
 * What the verbs of a hold or witness point share: who looks, whether they may, and how the look is recorded.
 */

export interface HoldAsked {
  readonly step: Step;
  readonly hold: Hold;
  /** The person who looks: whoever is at the keyboard, or the signer of an answer that somebody else brings. */
  readonly looker: string;
}

export const holdAsked = (
  ask: Pick<Ask, 'job'> & { readonly data: { readonly step: string }; readonly command: { readonly by: string } },
  looker = ask.command.by,
): Outcome<HoldAsked> => {
  const step = stepNamed(ask, ask.data.step);
  if (!step.ok) return step;
  const { hold } = step.value;
  return hold
    ? ok({ step: step.value, hold, looker })
    : err(usage('unknown-id', `${step.value.step} is no hold or witness point`, 'name the step of the hold'));
};

/** When anybody last performed one of these steps, ms since 1970; 0 where nobody did. */
const lastAct = ({ job }: AskedJob, steps: readonly Step[]): number =>
  Math.max(0, ...steps.flatMap((step) => stepStateOf(job, step.step).last ?? []).map((stamp) => msOf(stamp.when)));

/** The performer may look at their own work only where the procedure allows it: after a pause, and shown as their own look. */
const selfRefusals = (ask: AskedJob, { step, hold, looker }: HoldAsked, seen: readonly Step[]): readonly Refusal[] => {
  const { moment } = ask;
  const pause = hold.self;
  if (!pause)
    return [
      refusal(
        'own-work',
        `${looker} performed what ${step.step} inspects`,
        'somebody who performed none of it looks, with their own key',
      ),
    ];
  const from = lastAct(ask, seen) + pause.ms;
  const isEarly = moment.ms < from;
  return [
    ...clockRefusals(moment),
    ...(isEarly
      ? [
          refusal(
            'wait',
            `the performer may look again after ${pause.text}, from ${printInstant(from, moment.offset)}`,
            'come back then',
          ),
        ]
      : []),
  ];
};

/**
 * True where the looker performed an inspected step, under any id that they have or had, and however their name was typed. A person who
 * follows another is not a second person.
 */
export const isOwnWork = ({ job, moment }: AskedJob, { step, looker }: HoldAsked): boolean =>
  namedPerformers(job, step).some((performer) => isNameOf(Object.values(moment.around.people), performer, looker));

/** Rule 3 of the design: a look is made by a person with the power, with their own key, who performed none of the inspected steps. */
export const lookRefusals = (ask: AskedJob, asked: HoldAsked): readonly Refusal[] => {
  const { step, hold, looker } = asked;
  const isSelf = isOwnWork(ask, asked);
  const mayLookAgain = isSelf && hold.self !== undefined;
  const powers = mayLookAgain ? [...powersToLook(hold), 'builder'] : powersToLook(hold);
  return [
    ...orderRefusals(ask.job, step),
    ...powerRefusals(looker, powers, `release ${step.step}`, ask.moment),
    ...(isSelf ? selfRefusals(ask, asked, inspectedSteps(ask.job.plan, step)) : []),
  ];
};

/** A look that is about to be taken, and what keeps its looker from it; `undefined` where the step has no hold. Who looks may still be open. */
export const holdAhead = (
  intended: AskedJob & {
    readonly data: Partial<Pick<Intended<LookVerb>['data'], 'step' | 'person'>>;
    readonly open: ReadonlySet<string>;
  },
): { readonly asked: HoldAsked; readonly mayNotLook: readonly Refusal[] } | undefined => {
  const { job, moment, data, open } = intended;
  const asked = holdAsked({ job, data: { step: data.step ?? '' }, command: moment }, data.person);
  if (!asked.ok) return undefined;
  const { value } = asked;
  return { asked: value, mayNotLook: open.has('by') ? orderRefusals(job, value.step) : lookRefusals(intended, value) };
};

interface LookSaid {
  readonly remark?: string | undefined;
  readonly isRemote?: boolean | undefined;
  readonly shown?: string | undefined;
  readonly notJudged?: string | undefined;
  readonly reason?: string | undefined;
  /** Numbers of the findings raised. */
  readonly findings?: readonly number[];
}

/**
 * Whether the looker had performed the work: as decided when the entry was written (`self`, which also covers another id of the same
 * person), or by their id here.
 */
const wasOwnWork = (job: JobState, entry: EntryOf<'release' | 'reinspect'>, person: string): boolean => {
  if (entry.data.self === true) return true;
  const hold = stepOf(job.plan, entry.data.step);
  return hold !== undefined && namedPerformers(job, hold).includes(person);
};

const isOwnLook = (job: JobState, entry: EntryOf<LookVerb>, person: string): boolean =>
  entry.type !== 'refuse' && wasOwnWork(job, entry as EntryOf<'release' | 'reinspect'>, person);

/** Records a look at its step. The look also begins the step. */
export const keepLook = (draft: JobDraft, entry: EntryOf<LookVerb>, job: JobState, said: LookSaid): void => {
  const { step, person = entry.by, answer, 'answer-sig': signature } = entry.data;
  const { remark, isRemote = false, shown, notJudged, reason, findings = [] } = said;
  const look: Look = {
    ...stampOf(entry),
    kind: entry.type,
    person,
    remote: isRemote,
    self: isOwnLook(job, entry, person),
    findings,
    ...(remark === undefined ? {} : { remark }),
    ...(shown === undefined ? {} : { shown }),
    ...(notJudged === undefined ? {} : { notJudged }),
    ...(reason === undefined ? {} : { reason }),
    ...(answer === undefined ? {} : { answer }),
    ...(signature === undefined ? {} : { signature }),
  };
  drawer(draft.looks, step, () => []).push({ ...look, findings: [...findings] });
  stepDraft(draft, step).begun ??= { ...stampOf(entry), explicit: false };
  touch(draft, step, entry);
};
