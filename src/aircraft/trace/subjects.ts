import { own } from '../../fault/own.ts';
import { leftOpen } from '../../job/loose.ts';
import type { Batch, JobState, LooseItem } from '../../job/state.ts';
import type { Quarantine } from '../../job/surroundings.ts';
import { stepOf } from '../../procedure/plan.ts';
import { jobsOf, nameOf, powersOf, type BuildState } from '../state.ts';
import { lotIn, partIn } from '../stock.ts';
import type { Thing } from './trail.ts';

/** A step of a job, as a trace names it. */
export interface StepSubject {
  readonly kind: 'step';
  readonly job: string;
  readonly step: string;
  readonly title: string;
  readonly state: 'todo' | 'done' | 'skipped';
}

/** What is traced, with what the build knows of it now. */
export type TraceSubject =
  | {
      readonly kind: 'lot';
      readonly material: string;
      readonly number: string;
      readonly useBy?: string;
      readonly quarantine?: string;
      readonly batches: readonly string[];
    }
  | {
      readonly kind: 'batch';
      readonly batch: string;
      readonly job: string;
      readonly lots: Readonly<Record<string, string>>;
      readonly tool?: string;
      readonly sample?: { readonly id: string; readonly result?: 'held' | 'failed' };
      readonly discarded?: string;
    }
  | {
      readonly kind: 'tool';
      readonly tool: string;
      readonly found: readonly { readonly what: string; readonly when: string }[];
    }
  | { readonly kind: 'part'; readonly part: string; readonly serials: readonly string[] }
  | {
      readonly kind: 'serial';
      readonly part: string;
      readonly serial: string;
      readonly lot?: string;
      readonly quarantine?: string;
    }
  | {
      readonly kind: 'tag';
      readonly tag: string;
      readonly item: string;
      readonly job: string;
      readonly before: string;
      readonly open: number;
    }
  | {
      readonly kind: 'person';
      readonly person: string;
      readonly name?: string;
      readonly powers: readonly string[];
    }
  | StepSubject;

const held = (quarantine: Quarantine | undefined): { readonly quarantine?: string } =>
  quarantine === undefined ? {} : { quarantine: quarantine.because };

const batchesFrom = (state: BuildState, material: string, number: string): readonly string[] =>
  jobsOf(state).flatMap((job) =>
    job.batches
      .filter(
        (batch) =>
          Object.values(batch.lots).includes(number) && stepOf(job.plan, batch.step)?.mix?.material === material,
      )
      .map(({ batch }) => batch),
  );

const lotSubject = (state: BuildState, material: string, number: string): TraceSubject => {
  const stock = lotIn(state, material, number);
  const named = jobsOf(state).flatMap((job) => job.lots.filter((lot) => lot.material === material));
  const useBy = named.findLast((lot) => lot.number === number)?.useBy ?? stock?.goodUntil;
  return {
    kind: 'lot',
    material,
    number,
    ...(useBy === undefined ? {} : { useBy }),
    ...held(stock?.quarantine),
    batches: batchesFrom(state, material, number),
  };
};

const batchSubject = (job: JobState, batch: Batch): TraceSubject => ({
  kind: 'batch',
  batch: batch.batch,
  job: job.id,
  lots: batch.lots,
  ...(batch.tool === undefined ? {} : { tool: batch.tool }),
  ...(batch.sample && (!batch.discarded || batch.sample.broken)
    ? { sample: { id: batch.sample.id, ...(batch.sample.broken ? { result: batch.sample.broken.result } : {}) } }
    : {}),
  ...(batch.discarded ? { discarded: batch.discarded.because } : {}),
});

const serialSubject = (state: BuildState, part: string, serial: string): TraceSubject => {
  const named = jobsOf(state)
    .flatMap((job) => job.fitted)
    .findLast((one) => one.part === part && one.serial === serial);
  const stock = partIn(state, part, serial, named?.lot);
  const lot = named?.lot ?? stock?.lot;
  return { kind: 'serial', part, serial, ...(lot === undefined ? {} : { lot }), ...held(stock?.quarantine) };
};

const serialsOf = (state: BuildState, part: string): readonly string[] => [
  ...new Set([
    ...jobsOf(state).flatMap((job) => job.fitted.filter((one) => one.part === part).map(({ serial }) => serial)),
    ...state.file.stock.filter((line) => line.part === part).flatMap(({ serial }) => serial ?? []),
  ]),
];

const tagged = (state: BuildState, tag: string): { readonly job: string; readonly item: LooseItem } | undefined =>
  jobsOf(state)
    .flatMap((job) => job.loose.map((item) => ({ job: job.id, item })))
    .find(({ item }) => item.tag === tag);

const tagSubject = (state: BuildState, tag: string): TraceSubject => {
  const found = tagged(state, tag);
  const { item, before } = found?.item ?? { item: '', before: '' };
  return { kind: 'tag', tag, item, job: found?.job ?? '', before, open: found ? leftOpen(found.item) : 0 };
};

const personSubject = (state: BuildState, person: string): TraceSubject => {
  const name = nameOf(state, person);
  return { kind: 'person', person, ...(name === undefined ? {} : { name }), powers: powersOf(state, person) };
};

/** What the build knows now of a thing that its jobs or its lists name. */
export const subjectOf = (state: BuildState, thing: Thing): TraceSubject => {
  switch (thing.kind) {
    case 'lot':
      return lotSubject(state, thing.material, thing.number);
    case 'batch': {
      const job = jobsOf(state).find(({ id }) => id === thing.job);
      const batch = job?.batches.find((one) => one.batch === thing.batch);
      return job && batch ? batchSubject(job, batch) : { kind: 'batch', batch: thing.batch, job: thing.job, lots: {} };
    }
    case 'tool': {
      const found = own(state.found, thing.tool) ?? [];
      return { kind: 'tool', tool: thing.tool, found: found.map(({ what, when }) => ({ what, when })) };
    }
    case 'part':
      return { kind: 'part', part: thing.part, serials: serialsOf(state, thing.part) };
    case 'serial':
      return serialSubject(state, thing.part, thing.serial);
    case 'tag':
      return tagSubject(state, thing.tag);
    case 'person':
      return personSubject(state, thing.person);
  }
};
