import type { RefusalCode } from '../fault/codes.ts';
import type { Refusal } from '../fault/fault.ts';
import { own } from '../fault/own.ts';
import type { Step } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import { parseInstant } from '../quantity/time.ts';
import { refusedWords, whichOf } from './breach.ts';
import { msOf } from './cure.ts';
import { lotUsed } from './lots.ts';
import type { Moment } from './moment.ts';
import { pageThen } from './page-then.ts';
import type { Which } from './parts/part.ts';
import { currentActs, hasValue } from './parts/tighten.ts';
import { readWeights } from './potlife.ts';
import { sizeRefusals } from './refusals/batch-size.ts';
import { lotTrouble } from './refusals/lots.ts';
import { shopRefusals } from './refusals/shop.ts';
import { potLifeRefusals } from './refusals/stage-and-pot-life.ts';
import { individualRefusals, wantsInDate } from './refusals/tools.ts';
import type { Batch, JobState, LotTaken } from './state.ts';
import type { Stamp } from './stamp.ts';
import { stepStateOf } from './step-state.ts';
import type { Surroundings, ToolNow } from './surroundings.ts';
import { allLatest } from './values.ts';

/*
 * The design's fourth principle: whatever is said can be put right later, and is then decided again everywhere. Work that was taken as
 * allowed is judged here once more by the refusals of its own instant, from all that is known now. Where they would have refused it, that is
 * a nonconformance of their code, until somebody disposes of it or the correction is itself put right.
 */

/** Work that a rule would have refused, had everything been known then that is known now. */
interface Rejudged extends Which {
  readonly on: string;
  readonly step: string;
  readonly key: string;
  readonly what: string;
  readonly batch?: string;
  readonly mix?: string;
}

/** The job by the page of an act's time, and the moment of that act. */
interface Then {
  readonly job: JobState;
  readonly step: Step;
  readonly moment: Moment;
}

const prefix = 'judged ';

export const isRejudgedKey = (key: string): boolean => key.startsWith(prefix);

/** `undefined` where nobody knows the time of the act, or where the page of that time had no such step. */
const thenOf = (job: JobState, id: string, act: Stamp, around: Surroundings): Then | undefined => {
  const when = parseInstant(act.when);
  if (!when.ok || act.doubtful === true) return undefined;
  const page = pageThen(job, act.entry);
  const step = page ? page.step(id) : stepOf(job.plan, id);
  const { ms, offset } = when.value;
  const moment = { around, ms, offset, by: act.by, with: [] };
  return step && { job: page ? { ...job, plan: page.plan } : job, step, moment };
};

/** True where somebody knew it when it was done: a departure for the step says so, or the act was entered as refused and done. */
const isKnown = (job: JobState, step: string, { entry }: Stamp, code: RefusalCode): boolean =>
  job.departures.some((one) => one.code === code && one.step === step) ||
  job.breaches.some((one) => one.entry === entry && one.codes.includes(code));

/** What an act is about, and how a person says it. */
interface About extends Omit<Rejudged, 'key' | 'what'> {
  readonly did: string;
}

const raise = (
  job: JobState,
  act: Stamp,
  { did, ...about }: About,
  refusals: readonly Refusal[],
  codes: readonly RefusalCode[],
): readonly Rejudged[] =>
  refusals
    .filter(({ code }) => codes.includes(code) && !isKnown(job, about.step, act, code))
    .map(({ code, what }) => ({
      ...about,
      key: `${prefix}${act.entry} ${code} ${what}`,
      what: `${did}, ${refusedWords([code])}: ${what}`,
    }));

/**
 * What was known of a tool when it was used. A tool that was dropped before and found right afterwards was right all the time; what a
 * check found wrong only later is a doubt about the value (rule 7 of the design).
 * @param ms since 1970.
 */
const foundThen = ({ found }: ToolNow, ms: number): ToolNow['found'][number]['what'] | undefined => {
  const last = found.findLast((one) => one.ms < ms)?.what;
  const next = found.find((one) => one.ms >= ms && one.what !== 'dropped')?.what;
  return last === 'dropped' && next === 'checked' ? undefined : last;
};

const toolThen = (
  { job, moment }: Then,
  kind: string | undefined,
  { tool: id }: { readonly tool?: string },
): readonly Refusal[] => {
  const tool = kind === undefined || id === undefined ? undefined : own(moment.around.tools, id);
  return tool === undefined || kind === undefined
    ? []
    : individualRefusals(tool, wantsInDate(job, kind), foundThen(tool, moment.ms), moment);
};

/** The lots of a batch, as they are named now: each once. */
const lotsThen = ({ job, step, moment }: Then, batch: Batch): readonly Refusal[] => {
  const { material = '', ratio = [] } = step.mix ?? {};
  return [...new Set(ratio.map(({ part }) => own(batch.lots, part)))].flatMap((number) => {
    const lot = job.lots.findLast((one) => one.material === material && one.number === number);
    return lotTrouble(job, material, lotUsed('', lot, moment.around), material, moment);
  });
};

/** A batch that is in use: its size, its shop, its scale and its lots. Lots out of date are a doubt about every joint already. */
const ofBatch = (job: JobState, batch: Batch, around: Surroundings): readonly Rejudged[] => {
  const then = thenOf(job, batch.step, batch, around);
  if (!then?.step.mix || batch.discarded || batch.superseded !== undefined) return [];
  const { mix } = then.step;
  const weighed = readWeights(mix, batch.weights);
  const about = { on: batch.batch, step: batch.step, batch: batch.batch, mix: batch.step, did: `${batch.batch} mixed` };
  const refusals = [
    ...('parts' in weighed ? sizeRefusals(then.job, mix, weighed.parts) : []),
    ...lotsThen(then, batch),
    ...toolThen(then, mix.tool, batch),
    ...shopRefusals(then.job, then.step, then.moment, batch.temperature),
  ];
  return raise(job, batch, about, refusals, ['batch-size', 'lot-missing', 'tool-out-of-date', 'shop-outside']);
};

/** A lot that a step took in hand and that has no use-by any more. */
const ofTaken = (job: JobState, taken: LotTaken, around: Surroundings): readonly Rejudged[] => {
  const then = thenOf(job, taken.step, taken, around);
  const lot = job.lots.find(({ entry }) => entry === taken.lot);
  if (!then || !lot || taken.superseded !== undefined) return [];
  const refusals = lotTrouble(then.job, taken.material, lotUsed('', lot, around), taken.material, then.moment);
  const about = { on: taken.step, step: taken.step, did: `${taken.step} done` };
  return raise(job, taken, about, refusals, ['lot-missing']);
};

/** The values of a step that count, each with the tool with which it was taken. */
const ofValues = (job: JobState, { step, readings, tighten }: Step, around: Surroundings): readonly Rejudged[] => {
  // Most jobs of a build are finished long ago, and most readings have no tool: nothing is gone through for those.
  const withTool = readings.filter(({ reading, tool }) => tool !== undefined && own(job.tries, reading) !== undefined);
  const tries = withTool.flatMap((reading) =>
    allLatest(job, reading).map((taken) => ({
      taken,
      kind: reading.tool,
      about: { on: reading.reading, step, did: `${reading.reading} ${taken.value}`, ...whichOf(taken) },
    })),
  );
  const fasteners = Array.from(
    { length: tighten?.tool === undefined || own(job.fasteners, step) === undefined ? 0 : tighten.fasteners },
    (_, index) => {
      const taken = currentActs(job, step, index + 1).findLast((act) => act.pending === undefined && hasValue(act));
      const fastener = index + 1;
      const about = { on: step, step, fastener, did: `fastener ${fastener} of ${step}` };
      return taken ? [{ taken, kind: tighten?.tool, about }] : [];
    },
  );
  return [...tries, ...fasteners.flat()].flatMap(({ taken, kind, about }) => {
    if (kind === undefined || taken.tool === undefined) return [];
    const then = thenOf(job, step, taken, around);
    return then ? raise(job, taken, about, toolThen(then, kind, taken), ['tool-out-of-date']) : [];
  });
};

/** A step that was finished inside the pot life of its batches: those that had been mixed by then. */
const ofPotLife = (job: JobState, { step: id, inPotLifeOf }: Step, around: Surroundings): readonly Rejudged[] => {
  const { state, finished } = stepStateOf(job, id);
  const then = state === 'done' && finished && inPotLifeOf.length > 0 ? thenOf(job, id, finished, around) : undefined;
  if (!then || !finished) return [];
  const batches = job.batches.filter(({ when }) => msOf(when) <= then.moment.ms);
  const refusals = potLifeRefusals({ ...then.job, batches }, then.step, then.moment);
  return raise(job, finished, { on: id, step: id, did: `${id} finished` }, refusals, ['pot-life-over']);
};

/** Everything in a job that would have been refused at its own instant by all that is known now. */
export const rejudged = (job: JobState, walked: readonly Step[], around: Surroundings): readonly Rejudged[] => [
  ...job.batches.flatMap((batch) => ofBatch(job, batch, around)),
  ...job.taken.flatMap((taken) => ofTaken(job, taken, around)),
  ...walked.flatMap((step) => [...ofValues(job, step, around), ...ofPotLife(job, step, around)]),
];
