import type { Contradiction } from '../job/contradiction.ts';
import { cureNow, type CureNow } from '../job/cure.ts';
import { stagesAsOf, type StageAsOf } from '../job/cure-stages.ts';
import { dueGate, isOpenItem, leftOpen } from '../job/loose.ts';
import { nonconformances, openText } from '../job/nonconformances.ts';
import { departureFor } from '../job/departure.ts';
import { neededAbove } from '../job/needs.ts';
import { next } from '../job/next.ts';
import { deadlinesOf } from '../job/refusals/interval.ts';
import { coveringsOver } from '../job/refusals/proof-and-cover.ts';
import { wantsAtCompletion } from '../job/next/gather.ts';
import type { WantOf } from '../job/next/want.ts';
import { goodBatches, potLifeNow } from '../job/potlife.ts';
import type { JobState } from '../job/state.ts';
import { stepStateOf } from '../job/step-state.ts';
import { currentStep, isClosed, placeMark, isParked, isWithdrawn } from '../job/where.ts';
import type { Surroundings } from '../job/surroundings.ts';
import type { Step } from '../procedure/model.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { printInstant } from '../quantity/time.ts';
import { leftOf } from './draws.ts';
import { aroundOf } from './surroundings.ts';
import { jobOf, jobsWith, openContradictions, type BuildState } from './state.ts';
import { leftLoose } from './traits.ts';
import { numberIn } from './numbers.ts';
import { goodUntil, stockName } from './stock.ts';

export type JobCondition = 'open' | 'parked' | 'complete' | 'opened again' | 'withdrawn';

export interface CureStatus {
  readonly step: string;
  readonly until: string;
  /** The instant from which the cure's clock hours run. */
  readonly begun: string;
  /** The last temperature known of the cure's place, as typed or logged. */
  readonly temperature?: string;
  readonly stages: readonly {
    readonly stage: string;
    /** How far the stage has come, whole percent, rounded down. */
    readonly percent: number;
    /**
     * Time that has counted towards the stage, and the time that it takes, whole ms. Absent where the stage takes another time at each of
     * several temperatures, because hours without their temperature say nothing then.
     */
    readonly countedMs?: number;
    readonly needMs?: number;
    readonly reached: boolean;
    /** When it was reached. */
    readonly reachedAt?: string;
    /** How long the stage still takes if the last temperature stays, ms. */
    readonly leftMs?: number;
    /** When it should be reached if the last temperature stays from now on, or from when the cure began. */
    readonly forecast?: string;
  }[];
}

export interface JobStatus {
  readonly id: string;
  readonly procedure: string;
  readonly title: string;
  readonly side?: string;
  readonly revision: string;
  readonly state: JobCondition;
  /** Why the job was withdrawn. */
  readonly because?: string;
  /** The open step; `number` of `of` is its place among the steps that this job walks, from 1. */
  readonly step?: string;
  readonly number: number;
  readonly of: number;
  /** What the job waits for, in words. */
  readonly waitsFor: readonly string[];
  readonly cures: readonly CureStatus[];
  /** The pot life that ends first; `ends` is RFC 3339. */
  readonly potLife?: { readonly batch: string; readonly ends: string };
  /** Steps that must be begun by an instant, the longest interval after the step `after`. */
  readonly beginBy: readonly { readonly step: string; readonly after: string; readonly by: string }[];
  readonly samplesOwed: readonly string[];
  readonly nonconformances: readonly string[];
  /** Numbers of the open findings. */
  readonly findings: readonly number[];
  /** Entries in contradiction that nobody has settled. */
  readonly contradictions: readonly string[];
}

export interface ContradictionStatus {
  readonly entry: string;
  readonly job: string;
  readonly type: string;
  readonly step?: string;
  readonly by: string;
  readonly at: string;
  readonly code: string;
  readonly why: string;
}

export interface LooseStatus {
  readonly tag: string;
  readonly item: string;
  /** How many of the item are still open. */
  readonly open: number;
  readonly left: string;
  readonly before: string;
  readonly job: string;
}

export interface BuildStatus {
  readonly build: string;
  readonly scripted: boolean;
  readonly jobs: readonly JobStatus[];
  /** In the order of the gates before which they are due, then by tag. */
  readonly loose: readonly LooseStatus[];
  /** Tools and stock, in order of the day on which their date runs out. */
  readonly runsOut: readonly { readonly what: string; readonly day: string }[];
  /** What mixes have left of each lot whose quantity the stock lists; negative where more was weighed out. */
  readonly left: readonly {
    readonly what: string;
    readonly left: string;
    readonly of: string;
    readonly isUsedUp: boolean;
  }[];
  /** Stock in quarantine, and why. */
  readonly quarantine: readonly { readonly what: string; readonly because: string }[];
  /** Unsettled contradictions, in the order of the journal. */
  readonly contradictions: readonly ContradictionStatus[];
  readonly clock?: string;
  /** The ids of the pages of the procedures folder, as they were last taken in. */
  readonly pages: readonly string[];
}

/** Cures that have begun. Once the job is complete, only those that have a stage still to reach. @param at ms since 1970. */
export const runningCures = (
  job: JobState,
  around: Surroundings,
  at: number,
): readonly { readonly step: Step; readonly now: CureNow }[] =>
  job.plan.steps.flatMap((step) => {
    if (!step.cure || goodBatches(job, step.cure.of).length === 0) return [];
    const now = cureNow(job, step, around, at);
    const isShown = !isClosed(job) || now?.stages.some((stage) => !stage.reached) === true;
    return now?.begun !== undefined && isShown ? [{ step, now }] : [];
  });

/** Mix steps whose glue is still in use: some step that needs the glue wet is not finished. */
export const wetMixes = (job: JobState): readonly string[] => {
  const wet = job.plan.steps.filter(
    (step) => step.inPotLifeOf.length > 0 && stepStateOf(job, step.step).state !== 'done',
  );
  return [...new Set(wet.flatMap((step) => step.inPotLifeOf))];
};

const samplesOwed = (job: JobState): readonly string[] =>
  job.batches
    .filter((batch) => batch.sample && !batch.sample.broken && !batch.discarded && batch.superseded === undefined)
    .flatMap((batch) => batch.sample?.id ?? []);

const lookWords = ({ hold, open }: WantOf<'look'>): string => {
  if (hold.kind === 'witness') return `witness point: ${hold.by}`;
  const toAnswer = open.filter(({ answers }) => answers.length === 0).map(({ number }) => number);
  if (toAnswer.length > 0) return `an answer to finding ${toAnswer.join(', ')}`;
  return open.length > 0 ? `another look: ${hold.by}` : `hold point: ${hold.by}`;
};

const takingWords = (want: WantOf<'lot'> | WantOf<'serial'> | WantOf<'tool'>): string => {
  if (want.want === 'tool') return `an individual ${want.kind}`;
  return want.want === 'lot' ? `the lot of ${want.material}` : `the serial number of ${want.part}`;
};

/** What keeps a step from being begun: steps left for later, and areas that are covered. */
const barredWords = (job: JobState, step: Step, around: Surroundings): readonly string[] => {
  const isAsked = stepStateOf(job, step.step).begun === undefined && !departureFor(job, 'covered', step);
  return [
    ...neededAbove(job, step).map(
      (one) => `${one.step.step}, ${one.isNotDone ? 'not done' : `left for later (${one.tag})`}`,
    ),
    ...(isAsked ? coveringsOver(job, step, { around }) : []).map(
      ({ area, step: cover, job: other }) => `${area}, covered by ${cover}${other === job.id ? '' : ` of ${other}`}`,
    ),
  ];
};

/** What a step waits for, in words. @param at ms since 1970. */
const waitsFor = (job: JobState, step: Step | undefined, around: Surroundings, at: number): readonly string[] => {
  const [contradiction] = [
    ...around.contradictions,
    ...(step ? around.contradictionsUnder(step).map((one) => one.contradiction) : []),
  ];
  if (contradiction) return [`a contradiction to be settled: ${contradiction.entry.id}`];
  const park = job.parks.at(-1);
  if (park && !park.ended) return [park.waitsFor];
  if (isWithdrawn(job) || isClosed(job)) return [];
  if (!step) return [...wantsAtCompletion(job).map(takingWords), 'completion'];
  // What a step wants does not depend on who acts, except for the helpers, so nobody is named here.
  const { wants } = next(job, step, { around, ms: at, offset: 0, by: '', with: [] });
  const asked = job.dispositions.findLast((one) => one.kind === 'ask' && one.step === step.step);
  return [
    ...barredWords(job, step, around),
    ...wants.flatMap((one) => (one.want === 'cure' ? [`cure: ${one.until}`] : [])),
    ...wants.flatMap((one) => (one.want === 'look' ? [lookWords(one)] : [])),
    ...(asked ? ['the designer'] : []),
    ...wants.flatMap((one) => (one.want === 'shop' ? [`the shop: ${one.unknown.join(', ')}`] : [])),
    ...wants.flatMap((one) =>
      one.want === 'lot' || one.want === 'serial' || one.want === 'tool' ? [takingWords(one)] : [],
    ),
    ...wants.flatMap((one) => (one.want === 'part' ? [one.wanted.what] : [])).slice(0, 3),
  ];
};

const conditionOf = (job: JobState): JobCondition => {
  if (isWithdrawn(job)) return 'withdrawn';
  if (isClosed(job)) return 'complete';
  if (job.reopened) return 'opened again';
  return isParked(job) ? 'parked' : 'open';
};

const cureStatus = (step: Step, now: CureNow, stages: readonly StageAsOf[]): CureStatus => ({
  step: step.step,
  until: now.until,
  begun: printInstant(now.begun ?? 0, 0),
  ...(now.last ? { temperature: now.last.temperature } : {}),
  stages: stages.map((stage) => ({
    stage: stage.stage,
    percent: stage.percent,
    ...(stage.needMs === undefined ? {} : { countedMs: stage.countedMs, needMs: stage.needMs }),
    reached: stage.reached,
    ...(stage.reachedAt === undefined ? {} : { reachedAt: printInstant(stage.reachedAt, 0) }),
    ...(stage.leftMs === undefined ? {} : { leftMs: stage.leftMs }),
    ...(stage.forecast === undefined ? {} : { forecast: printInstant(stage.forecast, 0) }),
  })),
});

/** The status of one job. @param at ms since 1970. */
export const jobStatus = (job: JobState, around: Surroundings, at: number): JobStatus => {
  const step = currentStep(job);
  const place = placeMark(job, step);
  const life = potLifeNow(job, wetMixes(job), around, at);
  return {
    id: job.id,
    procedure: job.procedure,
    title: job.plan.title,
    ...(job.side === undefined ? {} : { side: job.side }),
    revision: job.revision,
    state: conditionOf(job),
    ...(step ? { step: step.step } : {}),
    number: place.number,
    of: place.count,
    ...(job.withdrawn ? { because: job.withdrawn.because } : {}),
    waitsFor: waitsFor(job, step, around, at),
    cures: runningCures(job, around, at).map((one) =>
      cureStatus(one.step, one.now, stagesAsOf(job, one.step, around, at)),
    ),
    beginBy: deadlinesOf(job, { around }).map(({ step: one, after, by }) => ({
      step: one.step,
      after,
      by: printInstant(by, 0),
    })),
    ...(life ? { potLife: { batch: life.batch, ends: printInstant(life.ends, 0) } } : {}),
    samplesOwed: samplesOwed(job),
    nonconformances: nonconformances(job, around)
      .filter((one) => one.open)
      .map(openText),
    findings: job.findings.filter((finding) => !finding.closed).map((finding) => finding.number),
    contradictions: around.contradictions.map(({ entry }) => entry.id),
  };
};

/** The place of a gate in the build's order, from 0; an unknown gate is last. */
const gateRank = (state: BuildState, gate: string): number => {
  const index = state.file.gates.indexOf(gate);
  return index === -1 ? state.file.gates.length : index;
};

/** Open loose items, in the order of the gates before which they must be closed. */
export const looseStatus = (state: BuildState): readonly LooseStatus[] =>
  jobsWith(state, leftLoose)
    .flatMap((job) =>
      job.loose.filter(isOpenItem).map((item) => ({
        tag: item.tag,
        item: item.item,
        open: leftOpen(item),
        left: item.left,
        before: dueGate(item),
        job: job.id,
      })),
    )
    .toSorted(
      (a, b) =>
        gateRank(state, a.before) - gateRank(state, b.before) ||
        numberIn(a.tag) - numberIn(b.tag) ||
        (a.tag < b.tag ? -1 : 1),
    );

/** What is left of each lot whose quantity the stock lists. */
const lotsLeft = (state: BuildState): BuildStatus['left'] =>
  state.file.stock.flatMap((line) => {
    const found = leftOf(state, line);
    if (!found) return [];
    const isUsedUp = found.left.amount.compare(0) <= 0;
    return [{ what: stockName(line), left: printQuantity(found.left), of: printQuantity(found.of), isUsedUp }];
  });

export const runsOut = (state: BuildState): BuildStatus['runsOut'] =>
  [
    ...state.file.tools.map((tool) => ({ what: `${tool.kind} ${tool.tool}`, day: tool['in-date-until'] })),
    ...state.file.stock.map((line) => ({ what: stockName(line), day: goodUntil(line) })),
  ]
    .flatMap(({ what, day }) => (day === undefined ? [] : [{ what, day }]))
    .toSorted((a, b) => (a.day < b.day ? -1 : a.day > b.day ? 1 : 0));

const contradictionStatus = ({ entry, job, step, code, why }: Contradiction): ContradictionStatus => ({
  entry: entry.id,
  job,
  type: entry.type,
  ...(step === undefined ? {} : { step }),
  by: entry.by,
  at: entry.at,
  code,
  why,
});

/** The status of the build, with the statuses of its jobs in the order of their ids. @param of gives the status of a job by its id */
export const statusWith = (state: BuildState, of: (id: string) => readonly JobStatus[]): BuildStatus => ({
  build: state.build,
  scripted: state.scripted,
  jobs: state.jobOrder.toSorted().flatMap(of),
  loose: looseStatus(state),
  runsOut: runsOut(state),
  left: lotsLeft(state),
  quarantine: state.file.stock.flatMap((line) =>
    line.quarantine === undefined ? [] : [{ what: stockName(line), because: line.quarantine }],
  ),
  pages: state.pages.map(({ procedure }) => procedure),
  contradictions: openContradictions(state).map(contradictionStatus),
  ...(state.clockTrouble ? { clock: state.clockTrouble.why } : {}),
});

/**
 * The status of the build at one instant. Holds instants and never ages, so that it does not change by the second; jobs are ordered by id.
 * @param at ms since 1970.
 */
export const statusOf = (state: BuildState, at: number): BuildStatus =>
  statusWith(state, (id) => {
    const job = jobOf(state, id);
    return job === undefined ? [] : [jobStatus(job, aroundOf(state, job, at), at)];
  });
