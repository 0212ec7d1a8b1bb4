import { err, refusal, usage, type Outcome, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { readingOf, resultOf, stepOf } from '../../procedure/plan.ts';
import { textOf, type Taken } from '../entry.ts';
import { nonconformances, type Nonconformance } from '../nonconformances.ts';
import { reworkStart } from '../rework.ts';
import type { DispositionKind } from '../state.ts';
import { stepStateOf } from '../step-state.ts';
import { currentStep } from '../where.ts';
import { settle, stepAsked, type Ask } from './ask.ts';
import { gateFault } from './keeping.ts';
import { completionRefusals, finishRefusals } from '../refusals/finishing.ts';
import { openingRefusals } from '../refusals/opening.ts';
import { performerRefusals, powerRefusals } from '../refusals/power.ts';

export const decideBegin = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  return step.ok
    ? settle(ask, step.value, [...openingRefusals(ask.job, step.value, ask.moment), ...performerRefusals(ask.moment)])
    : step;
};

export const decideFinish = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  return step.ok ? settle(ask, step.value, finishRefusals(ask.job, step.value, ask.moment)) : step;
};

export const decideComplete = (ask: Ask): Outcome<Taken> =>
  settle(ask, undefined, completionRefusals(ask.job, ask.moment));

export const decideSkip = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  if (!step.ok) return step;
  const fault = gateFault(ask, textOf(ask.data, 'before') ?? '');
  if (fault) return err(fault);
  const current = currentStep(ask.job);
  const refusals = [
    ...performerRefusals(ask.moment),
    ...(current === step.value
      ? []
      : [
          refusal(
            'out-of-order',
            `the open step is ${current?.step ?? 'none'}, not ${step.value.step}`,
            'skip the open step only',
          ),
        ]),
    ...(step.value.hold?.kind === 'hold'
      ? [
          refusal(
            'hold-closed',
            `${step.value.step} is a hold point; it is not left for later`,
            'have it looked at and released',
          ),
        ]
      : []),
  ];
  return settle(ask, step.value, refusals, {
    data: { tag: ask.moment.around.nextTag },
    told: [`tag ${ask.moment.around.nextTag}`],
  });
};

export const decideUndo = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  if (!step.ok) return step;
  const { state, begun } = stepStateOf(ask.job, step.value.step);
  if (state === 'todo' && !begun)
    return err(usage('not-begun', `${step.value.step} has not been begun`, 'there is nothing to undo'));
  return settle(ask, step.value, performerRefusals(ask.moment), {
    told: [`${step.value.step} is open again; what leaned on it too`],
  });
};

interface Target {
  readonly step: Step;
  readonly covers: readonly string[];
}

/** What a disposition is about: a reading, a result, a step, a sample or a batch, and the values of it that stand outside. */
const targetOf = (ask: Ask, on: string): Target | undefined => {
  const batch = ask.job.batches.findLast((one) => one.batch === on || one.sample?.id === on);
  const step =
    readingOf(ask.job.plan, on)?.step ??
    resultOf(ask.job.plan, on)?.step ??
    stepOf(ask.job.plan, on) ??
    (batch && stepOf(ask.job.plan, batch.step));
  if (!step) return undefined;
  const names = new Set([on, ...(batch?.sample ? [batch.sample.id] : [])]);
  const isStep = step.step === on;
  // The mix, its sample and the breaking of it stand for the whole batch; a joint, for itself.
  const isOfBatch = (one: Nonconformance): boolean =>
    one.batch === batch?.batch || (isStep && (one.mix === on || (step.break?.of.includes(one.mix ?? '') ?? false)));
  const covers = nonconformances(ask.job, ask.moment.around).flatMap((one) => {
    if (one.batch !== undefined && isOfBatch(one)) return [one.key, one.cause ?? one.key];
    return names.has(one.on) || (isStep && one.step === on) ? [one.key] : [];
  });
  return { step, covers: [...new Set(covers)] };
};

const acceptance = (ask: Ask): readonly Refusal[] => {
  const who = textOf(ask.data, 'accepted-by');
  if (who !== undefined) return powerRefusals(who, ['designer'], 'accept it', ask.moment);
  return textOf(ask.data, 'letter') === undefined
    ? [
        refusal(
          'power',
          'nobody with the power to do so has accepted it',
          'name the designer who signs (accepted-by), or their letter (letter)',
        ),
      ]
    : [];
};

/** Section 4: the doors for work outside its limits. */
export const decideDispose = (ask: Ask): Outcome<Taken> => {
  const on = textOf(ask.data, 'on') ?? '';
  const target = targetOf(ask, on);
  if (!target)
    return err(
      usage(
        'unknown-id',
        `nothing called '${on}' in this job`,
        'name a reading, a result, a step, a sample or a batch',
      ),
    );
  const kind = (textOf(ask.data, 'as-what') ?? 'ask') as DispositionKind;
  const stands = kind === 'repair' || kind === 'use-as-is';
  if (stands && target.covers.length === 0)
    return err(usage('nothing-outside', `nothing of ${on} stands outside its limits`, 'there is nothing to accept'));
  const who = textOf(ask.data, 'accepted-by');
  const back = kind === 'rework' || kind === 'scrap' ? reworkStart(ask.job, target.step.step, kind) : undefined;
  return settle(ask, target.step, [...performerRefusals(ask.moment), ...(stands ? acceptance(ask) : [])], {
    data: { step: target.step.step, covers: target.covers },
    also: stands && who !== undefined && who !== ask.command.by ? [who] : [],
    told: back ? [`back to ${back.step}`] : [],
  });
};
