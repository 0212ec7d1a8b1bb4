import type { RefusalCode } from '../fault/codes.ts';
import type { Step } from '../procedure/model.ts';
import type { Departure, JobState } from './state.ts';

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
