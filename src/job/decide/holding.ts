import { err, refusal, usage, type Outcome, type Refusal } from '../../fault/fault.ts';
import type { Hold, Step } from '../../procedure/model.ts';
import { printInstant } from '../../quantity/time.ts';
import { msOf } from '../cure.ts';
import { listOf, textOf, wholeOf, type Taken } from '../entry.ts';
import { areOne, inspectedSteps, performersOf, powersToLook, unanswered } from '../hold.ts';
import { stepStateOf } from '../step-state.ts';
import { clockRefusals } from '../refusals/clock.ts';
import { orderRefusals } from '../refusals/order.ts';
import { powerRefusals } from '../refusals/power.ts';
import { settle, stepAsked, type Ask } from './ask.ts';

type HoldStep = Step & { readonly hold: Hold };

const holdAsked = (ask: Ask): Outcome<HoldStep> => {
  const step = stepAsked(ask);
  if (!step.ok) return step;
  const { hold } = step.value;
  return hold
    ? { ok: true, value: { ...step.value, hold } }
    : err(usage('unknown-id', `${step.value.step} is no hold or witness point`, 'name the step of the hold'));
};

/** Whose look it is: the person at the keyboard, or who signed the answer that is carried in. */
const lookerOf = (ask: Ask): string => textOf(ask.data, 'person') ?? ask.command.by;

const stepOfHold = (ask: Ask, hold: HoldStep): Step =>
  ask.job.plan.steps.find((step) => step.step === hold.step) ?? hold;

const lastAct = (ask: Ask, steps: readonly Step[]): number =>
  Math.max(0, ...steps.flatMap((step) => stepStateOf(ask.job, step.step).last ?? []).map((stamp) => msOf(stamp.when)));

/** Re-inspection by the performer, where the procedure allows it at all: after a pause, under its own name. */
const selfRefusals = (ask: Ask, hold: HoldStep, seen: readonly Step[]): readonly Refusal[] => {
  const pause = hold.hold.self;
  if (!pause)
    return [
      refusal(
        'own-work',
        `${lookerOf(ask)} performed what ${hold.step} inspects`,
        'somebody who performed none of it looks, with their own key',
      ),
    ];
  const from = lastAct(ask, seen) + pause.ms;
  return [
    ...clockRefusals(ask.moment),
    ...(ask.moment.ms < from
      ? [
          refusal(
            'wait',
            `the performer may look again after ${pause.text}, from ${printInstant(from, ask.moment.offset)}`,
            'come back then',
          ),
        ]
      : []),
  ];
};

/** Under this id or another: whoever follows somebody else is no second person. */
const isSelf = (ask: Ask, hold: HoldStep): boolean =>
  performersOf(ask.job, inspectedSteps(ask.job.plan, stepOfHold(ask, hold))).some((performer) =>
    areOne(Object.values(ask.moment.around.people), performer, lookerOf(ask)),
  );

/** Rule 3: by a person with the power, with their own key, who performed none of the steps inspected. */
const lookRefusals = (ask: Ask, hold: HoldStep): readonly Refusal[] => {
  const seen = inspectedSteps(ask.job.plan, stepOfHold(ask, hold));
  const self = isSelf(ask, hold);
  const lookAgain = self && hold.hold.self !== undefined;
  return [
    ...orderRefusals(ask.job, stepOfHold(ask, hold)),
    ...powerRefusals(
      lookerOf(ask),
      lookAgain ? [...powersToLook(hold.hold), 'builder'] : powersToLook(hold.hold),
      `release ${hold.step}`,
      ask.moment,
    ),
    ...(self ? selfRefusals(ask, hold, seen) : []),
  ];
};

export const decideRelease = (ask: Ask): Outcome<Taken> => {
  const hold = holdAsked(ask);
  if (!hold.ok) return hold;
  const open = unanswered(ask.job, hold.value.step);
  const remote = ask.data['remote'] === true && !hold.value.hold.remote;
  return settle(
    ask,
    stepOfHold(ask, hold.value),
    [
      ...lookRefusals(ask, hold.value),
      ...open.map((finding) =>
        refusal(
          'finding-open',
          `finding ${finding.number} is not answered: ${finding.text}`,
          `answer it (answer ${finding.number})`,
        ),
      ),
      ...(remote
        ? [refusal('hold-closed', `${hold.value.step} is not released from elsewhere`, 'the inspector looks in person')]
        : []),
    ],
    { data: isSelf(ask, hold.value) ? { self: true } : {} },
  );
};

export const decideRefuse = (ask: Ask): Outcome<Taken> => {
  const hold = holdAsked(ask);
  if (!hold.ok) return hold;
  const first = Math.max(0, ...ask.job.findings.map((finding) => finding.number)) + 1;
  const numbers = listOf(ask.data, 'findings').map((_, index) => first + index);
  return settle(
    ask,
    stepOfHold(ask, hold.value),
    [
      ...orderRefusals(ask.job, stepOfHold(ask, hold.value)),
      ...powerRefusals(lookerOf(ask), powersToLook(hold.value.hold), 'refuse it', ask.moment),
    ],
    { data: { numbers }, told: [`findings ${numbers.join(', ')}`] },
  );
};

export const decideReinspect = (ask: Ask): Outcome<Taken> => {
  const hold = holdAsked(ask);
  if (!hold.ok) return hold;
  return settle(ask, stepOfHold(ask, hold.value), lookRefusals(ask, hold.value), {
    data: isSelf(ask, hold.value) ? { self: true } : {},
  });
};

export const decideInvite = (ask: Ask): Outcome<Taken> => {
  const hold = holdAsked(ask);
  return hold.ok ? settle(ask, stepOfHold(ask, hold.value), []) : hold;
};

export const decideAnswer = (ask: Ask): Outcome<Taken> => {
  const number = wholeOf(ask.data, 'finding');
  const finding = ask.job.findings.find((one) => one.number === number);
  const known = ask.job.findings.map((one) => String(one.number)).join(', ');
  if (!finding)
    return err(usage('unknown-id', `no finding ${number ?? ''} in this job`, `findings: ${known || 'none'}`));
  if (finding.closed) return err(usage('already-closed', `finding ${finding.number} is closed`, 'enter a remark'));
  const left = unanswered(ask.job, finding.step).filter((one) => one !== finding).length;
  return settle(ask, undefined, [], {
    told: [left > 0 ? `${left} more to answer` : 'all are answered: it is to be looked at again'],
  });
};
