import { refusal, usage, type Fault, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { readingOf } from '../../procedure/plan.ts';
import { printInstant, type Instant } from '../../quantity/time.ts';
import type { Ask } from '../acts/act.ts';
import { msOf } from '../cure.ts';
import type { AskedOf } from '../entry.ts';
import type { JobState } from '../state.ts';
import type { Stamp } from '../stamp.ts';
import { stepStateOf, walkedSteps } from '../step-state.ts';
import type { JobVerb } from '../verbs.ts';

/*
 * When a thing may have happened. A time that somebody types is usually a whole minute, so all of these rules leave a minute's room.
 */

/** In ms. */
const room = 60_000;

/**
 * Refuses what has not happened yet. This holds for every entry and for every row of a logger.
 * @param when the instant at which it is said to have happened, ms since 1970.
 * @param at when it is entered.
 */
export const aheadRefusal = (when: number, at: Instant): Refusal | undefined =>
  when <= at.ms + room
    ? undefined
    : refusal(
        'when-ahead',
        `${printInstant(when, at.offset)} has not come yet: it is ${printInstant(at.ms, at.offset)}`,
        'enter it once it has happened; if the clock of this machine is wrong, set it right and enter the true time (clock)',
      );

/** The step whose `break` asks for a sample. */
const stepOfSample = (job: JobState, sample: string): string | undefined => {
  const mix = job.batches.findLast((one) => one.batch === sample || one.sample?.id === sample)?.step;
  return mix === undefined ? undefined : job.plan.steps.find((step) => step.break?.of.includes(mix))?.step;
};

type Worked = 'begin' | 'read' | 'tighten' | 'mix' | 'break' | 'finish';

/** The step that an entry works on, for each verb of work on a step. What other verbs say may have happened at any time. */
const workedOn: { readonly [V in Worked]: (job: JobState, data: AskedOf<V>) => string | undefined } = {
  begin: (_job, { step }) => step,
  read: ({ plan }, { reading }) => readingOf(plan, reading)?.step.step,
  tighten: (_job, { step }) => step,
  mix: (_job, { step }) => step,
  break: (job, { sample }) => stepOfSample(job, sample),
  finish: (_job, { step }) => step,
};

const isWork = (verb: JobVerb): verb is Worked => Object.hasOwn(workedOn, verb);

/** When the nearest finished step before a step was finished. */
const finishBefore = (job: JobState, step: Step | undefined): Stamp | undefined => {
  const walked = walkedSteps(job);
  const before = step && walked.includes(step) ? walked.slice(0, walked.indexOf(step)) : [];
  const last = before.findLast((one) => stepStateOf(job, one.step).finished);
  return last && stepStateOf(job, last.step).finished;
};

/** A stamp that is in doubt cannot show that something else is too early. */
const isAfter = (when: number, stamp: Stamp | undefined): boolean =>
  stamp === undefined || stamp.doubtful === true || when > msOf(stamp.when) - room;

/**
 * Work on a step cannot have been done before its job was started or, unless it was done out of order (`done`), before the step before was
 * finished. Only a time that the person gave can be wrong in this way.
 */
export const earlyFault = (ask: Ask): Fault | undefined => {
  const { job, command, data, moment } = ask;
  if (command.when === undefined || !isWork(command.verb)) return undefined;
  const { ms, offset } = moment;
  if (!isAfter(ms, job.started))
    return usage(
      'when-early',
      `${printInstant(ms, offset)} is before the job was started, ${printInstant(msOf(job.started.when), offset)}`,
      'give the time at which it happened (when)',
    );
  if ('done' in data) return undefined;
  const early = earlyFor(ask);
  return early === undefined
    ? undefined
    : usage(
        'when-early',
        early,
        'give the time at which it happened (when); enter what was done out of order with done: its reason',
      );
};

/** Work that was done (`done`) before the step before was finished was done out of order. */
export const earlyRefusals = (ask: Ask): readonly Refusal[] => {
  if (ask.command.when === undefined || !isWork(ask.command.verb) || !('done' in ask.data)) return [];
  const early = earlyFor(ask);
  return early === undefined ? [] : [refusal('out-of-order', early, 'give the time at which it happened (when)')];
};

/** Why the time of work on a step is before the step before was finished; `undefined` where it is not. */
const earlyFor = ({ job, command, data, moment: { ms, offset } }: Ask): string | undefined => {
  if (!isWork(command.verb)) return undefined;
  // The table has for each verb a function of that very verb's data, which the compiler cannot follow.
  const id = (workedOn[command.verb] as (job: JobState, data: unknown) => string | undefined)(job, data);
  const finish = finishBefore(
    job,
    job.plan.steps.find((step) => step.step === id),
  );
  if (finish === undefined || isAfter(ms, finish)) return undefined;
  return `${printInstant(ms, offset)} is before the step before ${id ?? ''} was finished, ${printInstant(msOf(finish.when), offset)}`;
};
