import { own } from '../fault/own.ts';
import type { Step } from '../procedure/model.ts';
import { inspectedSteps } from './hold.ts';
import { inspectedByParts } from './parts/all.ts';
import type { JobState } from './state.ts';
import { isSkipped, stepApplies } from './step-state.ts';

/*
 * What a hold inspects, as plain data. Its hash is part of the inspector's signed answer. The list has a number: an answer says by which
 * list it was made, and is compared with that list for ever. List 1 leaves out fasteners, results, cures and more; list 2 has every part of
 * a step.
 */

/** The number of the list by which new answers are made. */
export const latestInspection = 2;

export type InspectionNumber = 1 | 2;

const isInspected = (job: JobState, step: Step): boolean => stepApplies(job, step) && !isSkipped(job, step);

/** List 1. Never change it: signed answers depend on it. */
const firstList = (job: JobState, seen: readonly Step[]): Readonly<Record<string, readonly string[]>> => {
  const steps = seen.filter((step) => isInspected(job, step));
  const ids = steps.map((step) => step.step);
  const readings = steps.flatMap((step) => step.readings.map((reading) => reading.reading));
  return {
    steps: ids,
    tries: readings.flatMap((id) => (own(job.tries, id) ?? []).map((taken) => `${id} ${taken.entry} ${taken.value}`)),
    batches: job.batches.filter((batch) => ids.includes(batch.step)).map((batch) => `${batch.batch} ${batch.entry}`),
    departures: job.departures.map((departure) => departure.entry),
    photos: job.photos.map((photo) => photo.sha256),
  };
};

/**
 * List 2. Each inspected step has a line for everything that was entered in its parts, and for every departure, decision and item left for
 * later.
 */
const secondList = (job: JobState, seen: readonly Step[]): Readonly<Record<string, readonly string[]>> => {
  const ids = seen.map((step) => step.step);
  const steps = seen.filter((step) => isInspected(job, step));
  return {
    steps: steps.map((step) => step.step),
    parts: steps.flatMap((step) => inspectedByParts(job, step).map((line) => `${step.step}: ${line}`)),
    departures: job.departures
      .filter(({ step }) => step === undefined || ids.includes(step))
      .map(({ entry, code }) => `${entry} ${code}`),
    dispositions: job.dispositions
      .filter(({ step }) => step === undefined || ids.includes(step))
      .map(({ entry, on, kind }) => `${entry} ${on} ${kind}`),
    breaches: job.breaches
      .filter(({ step }) => ids.includes(step))
      .map(({ entry, codes }) => [entry, ...codes].join(' ')),
    skipped: seen.filter((step) => isSkipped(job, step)).map((step) => step.step),
  };
};

const lists: Readonly<Record<InspectionNumber, typeof firstList>> = { 1: firstList, 2: secondList };

export const inspectionInput = (
  job: JobState,
  hold: Step,
  number: InspectionNumber,
): Readonly<Record<string, readonly string[]>> => lists[number](job, inspectedSteps(job.plan, hold));
