import type { Around } from './around.ts';
import { cureNow, msOf } from './cure.ts';
import type { Disposition, JobState } from './state.ts';
import { stepStateOf, walkedSteps } from './where.ts';
import { allTroubles } from './verdicts.ts';

/** Work or a value outside its limits, and what was decided about it. */
export interface Nonconformance {
  readonly on: string;
  readonly step: string;
  /** What a disposition covers. */
  readonly key: string;
  readonly what: string;
  readonly open: boolean;
  readonly disposition?: Disposition;
}

type Raised = Omit<Nonconformance, 'open' | 'disposition'>;

const failedSamples = (job: JobState): readonly Raised[] =>
  job.batches
    .filter((batch) => batch.sample?.broken?.result === 'failed' && batch.superseded === undefined)
    .map((batch) => ({
      on: batch.sample?.id ?? batch.batch,
      step: batch.step,
      key: `sample ${batch.sample?.broken?.entry ?? ''}`,
      what: `the sample ${batch.sample?.id ?? ''} of ${batch.batch} failed: every joint of that batch is in doubt`,
    }));

/** A late reading, or a correction, that takes back what a finished cure stood on. */
const unreachedCures = (job: JobState, around: Around): readonly Raised[] =>
  walkedSteps(job).flatMap((step) => {
    const { state, finished } = stepStateOf(job, step.step);
    if (!step.cure || state !== 'done' || !finished) return [];
    const stage = cureNow(job, step, around, msOf(finished.when))?.stages.find((one) => one.stage === step.cure?.until);
    return stage === undefined || stage.reached
      ? []
      : [
          {
            on: step.step,
            step: step.step,
            key: `cure ${finished.entry}`,
            what: `the cure ${step.step} had not reached ${stage.stage} when it was finished`,
          },
        ];
  });

/** Values taken with a tool that was later found wrong, back to the last time it was found right. */
const wrongTool = (job: JobState, around: Around, tool: string | undefined, when: string): boolean => {
  const found = tool === undefined ? [] : (around.tools[tool]?.found ?? []);
  const taken = msOf(when);
  const next = found.find((one) => one.ms >= taken && one.what !== 'dropped');
  return next?.what === 'wrong';
};

const doubtfulValues = (job: JobState, around: Around): readonly Raised[] => {
  const raised: Raised[] = [];
  for (const step of job.plan.steps) {
    for (const { reading } of step.readings)
      for (const taken of job.tries[reading] ?? [])
        if (taken.superseded === undefined && wrongTool(job, around, taken.tool, taken.when))
          raised.push({
            on: reading,
            step: step.step,
            key: `tool ${taken.entry}`,
            what: `${reading} ${taken.value} was taken with ${taken.tool ?? ''}, later found wrong`,
          });
    for (const act of job.fasteners[step.step] ?? [])
      if (act.superseded === undefined && wrongTool(job, around, act.tool, act.when))
        raised.push({
          on: step.step,
          step: step.step,
          key: `tool ${act.entry}`,
          what: `fastener ${act.fastener} of ${step.step} was tightened with ${act.tool ?? ''}, later found wrong`,
        });
  }
  return raised;
};

const outsideValues = (job: JobState): readonly Raised[] =>
  walkedSteps(job).flatMap((step) =>
    allTroubles(job, step).map(({ on, key, what }) => ({ on, step: step.step, key, what })),
  );

const raisedIn = (job: JobState, around: Around): readonly Raised[] => [
  ...outsideValues(job),
  ...failedSamples(job),
  ...unreachedCures(job, around),
  ...doubtfulValues(job, around),
];

/** Repair and use-as-is end a nonconformance; `ask` leaves it waiting; rework and scrap end it by doing the work anew. */
const isEnding = (disposition: Disposition): boolean =>
  disposition.kind === 'repair' || disposition.kind === 'use-as-is';

/** Every nonconformance of a job that stands now, open or decided. */
export const nonconformances = (job: JobState, around: Around): readonly Nonconformance[] =>
  raisedIn(job, around).map((raised) => {
    const disposition = job.dispositions.findLast((one) => one.covers.includes(raised.key));
    return {
      ...raised,
      open: disposition === undefined || !isEnding(disposition),
      ...(disposition ? { disposition } : {}),
    };
  });
