import type { RefusalCode } from '../fault/codes.ts';
import type { Step } from '../procedure/model.ts';
import type { Departure } from './judged.ts';
import type { JobState } from './state.ts';

/**
 * The refusals that a departure can overrule. Work out of order, another person's hold, a value outside and a cure not reached are never
 * overruled.
 */
export const overrulable: readonly RefusalCode[] = [
  'proof-missing',
  'still-needed',
  'wait',
  'too-late',
  'covered',
  'pot-life-over',
  'batch-size',
  'lot-missing',
  'lot-expired',
  'serial-missing',
  'tool-out-of-date',
  'shop-outside',
  'gate-open',
  'earlier-procedure',
  'helper-missing',
];

/** A departure overrules its refusal for the first step that needs it, and for no other. */
export const departureFor = (job: JobState, code: RefusalCode, step: Step | undefined): Departure | undefined =>
  // A departure `gate-open` excepts what was open when it was entered, item by item, and nothing else.
  job.plan.strict || !overrulable.includes(code) || code === 'gate-open'
    ? undefined
    : job.departures.find(
        (departure) => departure.code === code && (departure.step === undefined || departure.step === step?.step),
      );
