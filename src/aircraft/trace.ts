import { err, ok, type Outcome } from '../fault/fault.ts';
import { unknownId } from '../fault/unknown.ts';
import { nonconformances } from '../job/nonconformances.ts';
import type { Batch, JobState } from '../job/state.ts';
import { stepOf } from '../procedure/plan.ts';
import { aroundOf } from './surroundings.ts';
import { builtOver, groundsOfBatch, type BuiltOver, type Ground } from './over.ts';
import { jobsOf, type BuildState } from './state.ts';
import { lotIn } from './stock.ts';
import { batchRests, groundsOfTool, lotRests, toolRests, type Rest } from './trace-rests.ts';
import { own } from '../fault/own.ts';

/** What is traced. One word may mean several things: two materials may have lots with the same number. */
export type TraceSubject =
  | {
      readonly kind: 'lot';
      readonly material: string;
      readonly number: string;
      readonly useBy?: string;
      readonly batches: readonly string[];
    }
  | {
      readonly kind: 'batch';
      readonly batch: string;
      readonly job: string;
      readonly lots: Readonly<Record<string, string>>;
      readonly sample?: { readonly id: string; readonly result?: 'held' | 'failed' };
      readonly discarded?: string;
    }
  | {
      readonly kind: 'tool';
      readonly tool: string;
      readonly found: readonly { readonly what: string; readonly when: string }[];
    };

/** One finished step that was built over something which depends on the subject. */
export interface Over {
  readonly job: string;
  readonly step: string;
  readonly title: string;
  readonly why: string;
  readonly entry: string;
  readonly when: string;
  readonly by: string;
  readonly of: { readonly job: string; readonly step: string };
}

export interface Trace {
  readonly of: string;
  readonly subjects: readonly TraceSubject[];
  readonly rests: readonly Rest[];
  readonly over: readonly Over[];
  /** Nonconformances of any of the work found. */
  readonly nonconformances: readonly {
    readonly job: string;
    readonly step: string;
    readonly what: string;
    readonly open: boolean;
  }[];
}

interface Found {
  readonly subjects: readonly TraceSubject[];
  readonly rests: readonly Rest[];
  readonly grounds: readonly Ground[];
}

const batchesOf = (state: BuildState): readonly { readonly job: JobState; readonly batch: Batch }[] =>
  jobsOf(state).flatMap((job) => job.batches.map((batch) => ({ job, batch })));

const batchSubject = (job: JobState, batch: Batch): TraceSubject => ({
  kind: 'batch',
  batch: batch.batch,
  job: job.id,
  lots: batch.lots,
  ...(batch.sample && (!batch.discarded || batch.sample.broken)
    ? { sample: { id: batch.sample.id, ...(batch.sample.broken ? { result: batch.sample.broken.result } : {}) } }
    : {}),
  ...(batch.discarded ? { discarded: batch.discarded.because } : {}),
});

const ofBatch = (job: JobState, batch: Batch): Found => ({
  subjects: [batchSubject(job, batch)],
  rests: batchRests(job, batch),
  grounds: groundsOfBatch(job, batch),
});

const materialOf = (job: JobState, batch: Batch): string => stepOf(job.plan, batch.step)?.mix?.material ?? '';

/** A lot of a material: every batch mixed from it, and every job that named it. */
const ofLot = (state: BuildState, material: string, number: string): Found => {
  const mixed = batchesOf(state).filter(
    ({ job, batch }) => materialOf(job, batch) === material && Object.values(batch.lots).includes(number),
  );
  const found = mixed.map(({ job, batch }) => ofBatch(job, batch));
  const named = jobsOf(state).flatMap((job) => job.lots.filter((lot) => lot.material === material));
  const useBy = named.findLast((lot) => lot.number === number)?.useBy ?? lotIn(state, material, number)?.goodUntil;
  return {
    subjects: [
      {
        kind: 'lot',
        material,
        number,
        ...(useBy === undefined ? {} : { useBy }),
        batches: mixed.map(({ batch }) => batch.batch),
      },
      ...found.flatMap(({ subjects }) => subjects),
    ],
    rests: [...lotRests(state, material, number), ...found.flatMap(({ rests }) => rests)],
    grounds: found.flatMap(({ grounds }) => grounds),
  };
};

const ofTool = (state: BuildState, tool: string): Found => ({
  subjects: [{ kind: 'tool', tool, found: (own(state.found, tool) ?? []).map(({ what, when }) => ({ what, when })) }],
  rests: jobsOf(state).flatMap((job) => toolRests(job, tool)),
  grounds: jobsOf(state).flatMap((job) => groundsOfTool(job, tool)),
});

const materialsWith = (state: BuildState, number: string): readonly string[] => [
  ...new Set([
    ...jobsOf(state).flatMap((job) => job.lots.filter((lot) => lot.number === number).map((lot) => lot.material)),
    ...state.file.stock.flatMap((line) => (line.number === number && line.material ? [line.material] : [])),
  ]),
];

const toolsOf = (state: BuildState): readonly string[] => [
  ...new Set([...state.file.tools.map((line) => line.tool), ...Object.keys(state.found)]),
];

const knownWords = (state: BuildState): readonly string[] => [
  ...new Set([
    ...batchesOf(state).flatMap(({ batch }) => [batch.batch, ...(batch.sample ? [batch.sample.id] : [])]),
    ...jobsOf(state).flatMap((job) => job.lots.map((lot) => lot.number)),
    ...state.file.stock.flatMap((line) => (line.material && line.number ? [line.number] : [])),
    ...toolsOf(state),
  ]),
];

const find = (state: BuildState, word: string): readonly Found[] => [
  ...batchesOf(state)
    .filter(({ batch }) => batch.batch === word || (batch.sample?.id === word && !batch.discarded))
    .map(({ job, batch }) => ofBatch(job, batch)),
  ...materialsWith(state, word).map((material) => ofLot(state, material, word)),
  ...(toolsOf(state).includes(word) ? [ofTool(state, word)] : []),
];

const overLine = ({ job, step, finished, why, of }: BuiltOver): Over => ({
  job: job.id,
  step: step.step,
  title: step.title,
  why,
  entry: finished.entry,
  when: finished.when,
  by: finished.by,
  of: { job: of.job.id, step: of.step.step },
});

/** The nonconformances of the steps that the trace found. */
const standing = (
  state: BuildState,
  touched: readonly { readonly job: string; readonly step: string }[],
): Trace['nonconformances'] =>
  jobsOf(state).flatMap((job) => {
    const steps = new Set(touched.filter((one) => one.job === job.id).map((one) => one.step));
    return steps.size === 0
      ? []
      : nonconformances(job, aroundOf(state, job, state.lastAt))
          .filter((one) => steps.has(one.step))
          .map(({ step, what, open }) => ({ job: job.id, step, what, open }));
  });

/**
 * Everything that depends on a lot, a batch (or its sample) or a tool, across all jobs, and what was built over it. Fault (usage):
 * `unknown-id` where the build knows nothing of that name.
 */
export const traceOf = (state: BuildState, word: string): Outcome<Trace> => {
  const found = find(state, word);
  if (found.length === 0)
    return err(unknownId(`the build knows no lot, batch or tool '${word}'`, word, knownWords(state)));
  const rests = found.flatMap((one) => one.rests);
  const over = builtOver(
    state,
    found.flatMap((one) => one.grounds),
  ).map(overLine);
  return ok({
    of: word,
    subjects: found.flatMap((one) => one.subjects),
    rests,
    over,
    nonconformances: standing(state, [...rests, ...over]),
  });
};
