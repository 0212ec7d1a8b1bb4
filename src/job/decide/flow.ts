import { err, refusal, usage, type Outcome, type Refusal } from '../../fault/fault.ts';
import type { QuantityReading, Step } from '../../procedure/model.ts';
import { readingOf, resultOf, stepOf } from '../../procedure/plan.ts';
import { printDuration, printInstant } from '../../quantity/time.ts';
import { cureNow, knownMs } from '../cure.ts';
import { textOf, type Taken } from '../entry.ts';
import { openFindings, standingRelease } from '../hold.ts';
import { nonconformances, type Nonconformance } from '../nonconformances.ts';
import { partsMissing } from '../parts.ts';
import { reworkStart } from '../rework.ts';
import type { DispositionKind } from '../state.ts';
import { slotsOf } from '../values.ts';
import { troublesOf, twinNow } from '../verdicts.ts';
import { currentStep, isDone, stepStateOf, walkedSteps } from '../where.ts';
import { clockRefusals, powerRefusals, settle, stepAsked, type Ask } from './ask.ts';
import { gateFault } from './keeping.ts';
import {
  contradictionRefusals,
  gateRefusals,
  helperRefusals,
  isGlued,
  openingRefusals,
  potLifeRefusals,
  stageRefusals,
} from './opening.ts';

const performer = (ask: Ask): readonly Refusal[] => powerRefusals(ask, ask.command.by, ['builder'], 'perform');

export const decideBegin = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  return step.ok ? settle(ask, step.value, [...openingRefusals(ask, step.value), ...performer(ask)]) : step;
};

const partRefusals = (ask: Ask, step: Step): readonly Refusal[] => {
  const missing = partsMissing(ask.job, step);
  return missing.length === 0
    ? []
    : [
        refusal(
          'part-missing',
          `${step.step} still wants ${missing.map((one) => one.what).join('; ')}`,
          'enter it, then finish',
        ),
      ];
};

const troubleRefusals = (ask: Ask, step: Step): readonly Refusal[] =>
  troublesOf(ask.job, step).map(({ verdict, what }) =>
    refusal(
      verdict,
      what,
      verdict === 'outside'
        ? 'another try with its reason, or dispose: rework, repair, use-as-is, scrap or ask'
        : 'a finer tool, or dispose',
    ),
  );

const cureRefusals = (ask: Ask, step: Step): readonly Refusal[] => {
  const now = cureNow(ask.job, step, ask.around, ask.ms);
  if (!now) return [];
  const stage = now.stages.find((one) => one.stage === now.until);
  const trouble = clockRefusals(ask);
  if (stage?.reached === true) return trouble;
  const counted = stage
    ? `${printDuration(stage.countedMs)} counted of ${printDuration(now.clockMs)} on the clock`
    : 'nothing counted';
  return [
    ...trouble,
    refusal(
      'cure-not-reached',
      `${step.step} has not reached ${now.until}: ${counted}`,
      'wait, and log the temperature; there is no early finish',
    ),
  ];
};

/**
 * A plain wait runs from the begin or, where none was written, from the finish of the step before; ms. Where the stamp of that is in doubt
 * it runs from when the clock was believed again: Infinity while it is not.
 */
export const waitFrom = (ask: Pick<Ask, 'job' | 'around'>, step: Step): number => {
  const begun = stepStateOf(ask.job, step.step).begun;
  if (begun?.explicit === true) return knownMs(begun, ask.around);
  const walked = walkedSteps(ask.job);
  const before = walked.slice(0, walked.indexOf(step)).findLast((one) => stepStateOf(ask.job, one.step).finished);
  return knownMs((before && stepStateOf(ask.job, before.step).finished) ?? ask.job.started, ask.around);
};

const waitRefusals = (ask: Ask, step: Step): readonly Refusal[] => {
  if (!step.wait) return [];
  const until = waitFrom(ask, step) + step.wait.ms;
  const isKnown = until !== Infinity;
  return [
    ...clockRefusals(ask),
    ...(isKnown && ask.ms < until
      ? [
          refusal(
            'wait',
            `${step.step} waits ${step.wait.text}, until ${printInstant(until, ask.offset)}`,
            'come back then',
          ),
        ]
      : []),
  ];
};

/** A hold wants its release; at a witness point the job may go on, and the record says whether they came. */
const holdRefusals = (ask: Ask, step: Step): readonly Refusal[] => {
  if (step.hold?.kind !== 'hold' || standingRelease(ask.job, step.step)) return [];
  const open = openFindings(ask.job, step.step).length;
  return [
    refusal(
      'hold-closed',
      `${step.step} is a hold point, and the hold is not released${open > 0 ? `: ${open} findings stand open` : ''}`,
      open > 0
        ? 'answer the findings, and have it looked at again'
        : `a person with the power ${step.hold.by} looks, and releases it with their own key`,
    ),
  ];
};

const twinsOf = (ask: Ask, step: Step): readonly { readonly reading: QuantityReading; readonly open: boolean }[] =>
  step.readings.flatMap((reading) =>
    reading.kind === 'quantity' && reading.twin
      ? slotsOf(reading).map((slot) => ({
          reading,
          open: twinNow(ask.job, reading, slot, ask.around)?.outside === true,
        }))
      : [],
  );

const twinRefusals = (ask: Ask, step: Step): readonly Refusal[] =>
  twinsOf(ask, step)
    .filter((twin) => twin.open)
    .map(({ reading }) =>
      refusal(
        'twin-open',
        `the sides of ${reading.reading} differ by more than ${reading.twin?.text ?? ''}`,
        'rework one side, then enter its value again',
      ),
    );

/** Everything that stands against finishing a step now. */
export const finishRefusals = (ask: Ask, step: Step): readonly Refusal[] => [
  ...openingRefusals(ask, step),
  ...partRefusals(ask, step),
  ...troubleRefusals(ask, step),
  ...stageRefusals(ask, step),
  ...cureRefusals(ask, step),
  ...waitRefusals(ask, step),
  ...potLifeRefusals(ask, step),
  ...holdRefusals(ask, step),
  ...(isGlued(step)
    ? []
    : [...gateRefusals(ask, step), ...(step.people === undefined ? [] : helperRefusals(ask, [step], 1))]),
  ...twinRefusals(ask, step),
  ...contradictionRefusals(ask, step),
  ...performer(ask),
];

export const decideFinish = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  return step.ok ? settle(ask, step.value, finishRefusals(ask, step.value)) : step;
};

export const decideComplete = (ask: Ask): Outcome<Taken> => {
  const open = currentStep(ask.job);
  const nonconforming = nonconformances(ask.job, ask.around).filter((one) => one.open);
  const refusals = [
    ...performer(ask),
    ...contradictionRefusals(ask, ...walkedSteps(ask.job)),
    ...walkedSteps(ask.job)
      .filter((step) => isDone(ask.job, step))
      .flatMap((step) => twinRefusals(ask, step)),
    ...(open ? [refusal('unfinished', `${open.step} is not finished`, `go on with ${open.step}`)] : []),
    ...nonconforming.map((one) =>
      refusal('nonconformance-open', one.what, 'dispose it: rework, repair, use-as-is or scrap'),
    ),
  ];
  return settle(ask, undefined, refusals);
};

export const decideSkip = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  if (!step.ok) return step;
  const fault = gateFault(ask, textOf(ask.data, 'before') ?? '');
  if (fault) return err(fault);
  const current = currentStep(ask.job);
  const refusals = [
    ...performer(ask),
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
    data: { tag: ask.around.nextTag },
    told: [`tag ${ask.around.nextTag}`],
  });
};

export const decideUndo = (ask: Ask): Outcome<Taken> => {
  const step = stepAsked(ask);
  if (!step.ok) return step;
  const { state, begun } = stepStateOf(ask.job, step.value.step);
  if (state === 'todo' && !begun)
    return err(usage('not-begun', `${step.value.step} has not been begun`, 'there is nothing to undo'));
  return settle(ask, step.value, performer(ask), { told: [`${step.value.step} is open again; what leaned on it too`] });
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
  const covers = nonconformances(ask.job, ask.around).flatMap((one) => {
    if (one.batch !== undefined && isOfBatch(one)) return [one.key, one.cause ?? one.key];
    return names.has(one.on) || (isStep && one.step === on) ? [one.key] : [];
  });
  return { step, covers: [...new Set(covers)] };
};

const acceptance = (ask: Ask): readonly Refusal[] => {
  const who = textOf(ask.data, 'accepted-by');
  if (who !== undefined) return powerRefusals(ask, who, ['designer'], 'accept it');
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
  return settle(ask, target.step, [...performer(ask), ...(stands ? acceptance(ask) : [])], {
    data: { step: target.step.step, covers: target.covers },
    also: stands && who !== undefined && who !== ask.command.by ? [who] : [],
    told: back ? [`back to ${back.step}`] : [],
  });
};
