import type { Plan } from '../procedure/plan.ts';
import { rekeyParts } from './parts/all.ts';
import { withKeys, withStep } from './parts/part.ts';
import type { JobState } from './state.ts';
import { own } from '../fault/own.ts';

/** New ids of steps, readings and results, by the old id. */
export type NewNames = Readonly<Record<string, string>>;

const idsIn = ({ steps }: Plan): readonly string[] =>
  steps.flatMap(({ step, readings, results }) => [
    step,
    ...readings.map(({ reading }) => reading),
    ...results.map(({ result }) => result),
  ]);

/** The names that a person gave, for every id of the plan that they cover: `gap` also renames `gap/bay-1`. */
export const newNamesIn = (plan: Plan, names: NewNames): NewNames => {
  if (Object.keys(names).length === 0) return names;
  const found = idsIn(plan).flatMap((id) => {
    const [base = id, ...instance] = id.split('/');
    const name = own(names, id) ?? own(names, base);
    return name === undefined ? [] : [[id, name.includes('/') ? name : [name, ...instance].join('/')]];
  });
  return Object.fromEntries(found) as NewNames;
};

/** The job with everything that was entered under the new ids. */
export const rekeyed = (job: JobState, names: NewNames): JobState => {
  if (Object.keys(names).length === 0) return job;
  const rename = (id: string): string => own(names, id) ?? id;
  return {
    ...job,
    ...rekeyParts(job, rename),
    steps: withKeys(job.steps, rename),
    departures: withStep(job.departures, rename),
    dispositions: withStep(job.dispositions, rename).map((one) => ({ ...one, on: rename(one.on) })),
    breaches: withStep(job.breaches, rename).map((one) => ({
      ...one,
      on: rename(one.on),
      ...(one.mix === undefined ? {} : { mix: rename(one.mix) }),
    })),
    remarks: withStep(job.remarks, rename),
    log: withStep(job.log, rename),
  };
};
