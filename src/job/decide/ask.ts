import { firstRefusal, type RefusalCode } from '../../fault/codes.ts';
import { err, ok, usage, type Fault, type Outcome, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { readingOf, stepOf } from '../../procedure/plan.ts';
import { unknownId } from '../../fault/unknown.ts';
import { parseInstant } from '../../quantity/time.ts';
import type { Surroundings } from '../surroundings.ts';
import { happened, listOf, type Command, type Data, type EntryVerdict, type Taken } from '../entry.ts';
import type { Moment } from '../moment.ts';
import type { Departure, JobState } from '../state.ts';

/** One command put to one job, with what it needs to be decided. */
export interface Ask {
  readonly job: JobState;
  readonly command: Command;
  readonly data: Data;
  /** When it happened: the time that rules use. */
  readonly when: string;
  readonly moment: Moment;
}

/** The ask for a command whose data has its shape; an unreadable time, or one that is still to come, is a usage fault. */
export const askOf = (job: JobState, command: Command, around: Surroundings, data: Data): Outcome<Ask> => {
  const at = parseInstant(command.at);
  const when = parseInstant(happened(command));
  if (!at.ok) return at;
  if (!when.ok) return when;
  if (when.value.ms > at.value.ms)
    return err(usage('when-ahead', `${happened(command)} has not come yet`, 'give the time at which it happened'));
  const { ms, offset } = when.value;
  const moment = { around, ms, offset, by: command.by, with: listOf(data, 'with') };
  return ok({ job, command, data, when: happened(command), moment });
};

/** Departures overrule these; work out of order, another's hold, a value outside and a cure not reached never give way. */
export const overrulable: readonly RefusalCode[] = [
  'proof-missing',
  'still-needed',
  'wait',
  'pot-life-over',
  'batch-size',
  'lot-missing',
  'lot-expired',
  'tool-out-of-date',
  'shop-outside',
  'gate-open',
  'earlier-procedure',
  'helper-missing',
];

/** A departure holds for the first step where it overrules something, and for no other. */
export const departureFor = (job: JobState, code: RefusalCode, step: Step | undefined): Departure | undefined =>
  job.plan.strict || !overrulable.includes(code)
    ? undefined
    : job.departures.find(
        (departure) => departure.code === code && (departure.step === undefined || departure.step === step?.step),
      );

/** Taken, unless a refusal stands that no departure overrules; of several the one that the precedence names. */
export const settle = (
  ask: Ask,
  step: Step | undefined,
  refusals: readonly Refusal[],
  taken: {
    readonly data?: Data;
    readonly also?: readonly string[];
    readonly verdict?: EntryVerdict | undefined;
    readonly told?: readonly string[];
  } = {},
): Outcome<Taken> => {
  const used = refusals.map((one) => ({ refused: one, departure: departureFor(ask.job, one.code, step) }));
  const first = firstRefusal(used.filter((one) => !one.departure).map((one) => one.refused));
  if (first) return err(first);
  const departures = [...new Set(used.flatMap((one) => (one.departure ? [one.departure.entry] : [])))];
  return ok({
    type: ask.command.verb,
    data: { ...ask.data, ...taken.data, ...(departures.length > 0 ? { departures } : {}) },
    also: taken.also ?? [],
    told: [
      ...(taken.told ?? []),
      ...used.flatMap(({ refused, departure }) => (departure ? [`departed from: ${refused.what}`] : [])),
    ],
    ...(taken.verdict === undefined ? {} : { verdict: taken.verdict }),
  });
};

const unknown = (kind: string, id: string, known: readonly string[]): Fault =>
  unknownId(`no ${kind} '${id}' in this job`, id, known);

export const stepAsked = (ask: Ask): Outcome<Step> => {
  const id = typeof ask.data['step'] === 'string' ? ask.data['step'] : '';
  const step = stepOf(ask.job.plan, id);
  return step
    ? ok(step)
    : err(
        unknown(
          'step',
          id,
          ask.job.plan.steps.map((one) => one.step),
        ),
      );
};

export const readingAsked = (ask: Ask, id: string): Outcome<NonNullable<ReturnType<typeof readingOf>>> => {
  const found = readingOf(ask.job.plan, id);
  const known = ask.job.plan.steps.flatMap((step) => step.readings.map((reading) => reading.reading));
  return found ? ok(found) : err(unknown('reading', id, known));
};
