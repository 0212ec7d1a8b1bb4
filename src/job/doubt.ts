import type { Surroundings, ToolNow } from './surroundings.ts';
import { msOf } from './cure.ts';
import type { Batch, FastenerAct, JobState, Logged, Stamp, Try } from './state.ts';
import { joins } from './verbs.ts';
import { own } from '../fault/own.ts';

/** One thing that rests on a failed sample, or on a tool found wrong. */
export interface Doubt {
  /** The reading, step or sample by which a disposition names it. */
  readonly on: string;
  readonly step: string;
  /** What a disposition covers. */
  readonly key: string;
  readonly what: string;
  /** Why, without the thing itself: what was built over it is in doubt for the same reason. */
  readonly because: string;
  /** Names that reason, the same for all that rests on it. */
  readonly cause: string;
  /** The batch, and the step where it was mixed: a disposition of either covers every joint of it. */
  readonly batch?: string;
  readonly mix?: string;
}

/**
 * The joints of a batch: every step inside its pot life that was worked on from its mix until it was set aside, with the last
 * entry there; in a procedure that names none, the mix step itself. A batch thrown away before it was used has none.
 */
export const jointsOf = (job: JobState, batch: Batch): readonly Logged[] => {
  if (batch.discarded) return [];
  const glued = job.plan.steps.filter((step) => step.inPotLifeOf.includes(batch.step)).map((step) => step.step);
  const wanted = glued.length > 0 ? glued : [batch.step];
  const index = (entry: string | undefined): number => job.log.findIndex((one) => one.entry === entry);
  const [from, until] = [index(batch.entry), batch.superseded === undefined ? job.log.length : index(batch.superseded)];
  const during = job.log.slice(from + 1, until).filter((one) => joins(one.type));
  return wanted.flatMap((step) => during.findLast((one) => one.step === step) ?? []);
};

export const sampleFailed = (batch: Batch): boolean => batch.sample?.broken?.result === 'failed';

/** The cause of all that rests on a batch whose sample failed. */
export const causeOfSample = (batch: Batch): string => `sample ${batch.sample?.broken?.entry ?? ''}`;

export const becauseOfSample = (batch: Batch): string =>
  `${batch.batch}, whose sample ${batch.sample?.id ?? ''} failed`;

const jointDoubts = (job: JobState, batch: Batch): readonly Doubt[] => {
  const cause = causeOfSample(batch);
  const about = { cause, because: becauseOfSample(batch), batch: batch.batch, mix: batch.step };
  const joints = jointsOf(job, batch).flatMap(({ step }) => step ?? []);
  return joints.length === 0
    ? [
        {
          ...about,
          on: batch.sample?.id ?? batch.batch,
          step: batch.step,
          key: cause,
          what: `the sample ${batch.sample?.id ?? ''} of ${batch.batch} failed: every joint of that batch is in doubt`,
        },
      ]
    : joints.map((step) => ({
        ...about,
        on: step,
        step,
        key: `${cause} ${step}`,
        what: `${step} was made with ${about.because}`,
      }));
};

type FoundOf = (tool: string) => ToolNow['found'];

/** Found wrong after this was done, and not found right in between: a drop says nothing either way. */
const wrongSince = (found: FoundOf, tool: string | undefined, when: string): ToolNow['found'][number] | undefined => {
  const taken = msOf(when);
  const next = tool === undefined ? undefined : found(tool).find((one) => one.ms >= taken && one.what !== 'dropped');
  return next?.what === 'wrong' ? next : undefined;
};

type Taking = Stamp & { readonly tool?: string; readonly superseded?: string };

/** What was taken again since, with a tool not in doubt, no longer rests on the wrong one. */
const takenAgain = <T extends Taking>(
  all: readonly T[],
  one: T,
  found: FoundOf,
  same: (other: T) => boolean,
): boolean =>
  all
    .slice(all.indexOf(one) + 1)
    .some(
      (other) =>
        same(other) && other.superseded === undefined && wrongSince(found, other.tool, other.when) === undefined,
    );

const toolDoubt = (
  found: FoundOf,
  step: string,
  on: string,
  taken: Taking,
  what: (tool: string) => string,
): readonly Doubt[] => {
  const { tool } = taken;
  const wrong = wrongSince(found, tool, taken.when);
  if (tool === undefined || wrong === undefined || taken.superseded !== undefined) return [];
  return [
    {
      on,
      step,
      key: `tool ${taken.entry}`,
      what: `${what(tool)}, later found wrong`,
      because: `${tool}, later found wrong`,
      cause: `tool ${tool} ${wrong.when}`,
    },
  ];
};

const hasValue = (act: FastenerAct): boolean => act.torque !== undefined || act.past !== undefined;

const triesInDoubt = (found: FoundOf, step: string, reading: string, tries: readonly Try[]): readonly Doubt[] =>
  tries
    .filter((one) => !takenAgain(tries, one, found, (other) => other.position === one.position && other.n === one.n))
    .flatMap((one) => toolDoubt(found, step, reading, one, (tool) => `${reading} ${one.value} was taken with ${tool}`));

const actsInDoubt = (found: FoundOf, step: string, acts: readonly FastenerAct[]): readonly Doubt[] =>
  acts
    .filter((one) => !takenAgain(acts, one, found, (other) => other.fastener === one.fastener && hasValue(other)))
    .flatMap((one) =>
      toolDoubt(found, step, step, one, (tool) => `fastener ${one.fastener} of ${step} was tightened with ${tool}`),
    );

/** Rule 7 within one job: every joint of a batch whose sample failed, every value taken with a tool later found wrong. */
export const doubtsOf = (job: JobState, found: FoundOf): readonly Doubt[] => [
  ...job.batches
    .filter((batch) => batch.superseded === undefined && sampleFailed(batch))
    .flatMap((batch) => jointDoubts(job, batch)),
  ...job.plan.steps.flatMap((step) => [
    ...step.readings.flatMap(({ reading }) => triesInDoubt(found, step.step, reading, own(job.tries, reading) ?? [])),
    ...actsInDoubt(found, step.step, own(job.fasteners, step.step) ?? []),
  ]),
];

export const foundIn =
  (tools: Surroundings['tools']): FoundOf =>
  (tool) =>
    own(tools, tool)?.found ?? [];
