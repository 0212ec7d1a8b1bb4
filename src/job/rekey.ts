import type { Plan } from '../procedure/plan.ts';
import type { JobState } from './state.ts';
import { own } from '../fault/own.ts';

/** Old id → new id, of steps, readings and results. */
export type NewNames = Readonly<Record<string, string>>;

const idsIn = ({ steps }: Plan): readonly string[] =>
  steps.flatMap(({ step, readings, results }) => [
    step,
    ...readings.map(({ reading }) => reading),
    ...results.map(({ result }) => result),
  ]);

/** The names as a person gave them, for every id of the plan that they mean: `gap` also for `gap/bay-1`. */
export const newNamesIn = (plan: Plan, names: NewNames): NewNames => {
  if (Object.keys(names).length === 0) return names;
  const found = idsIn(plan).flatMap((id) => {
    const [base = id, ...instance] = id.split('/');
    const name = own(names, id) ?? own(names, base);
    return name === undefined ? [] : [[id, name.includes('/') ? name : [name, ...instance].join('/')]];
  });
  return Object.fromEntries(found) as NewNames;
};

const withKeys = <T>(
  record: Readonly<Record<string, T>>,
  rename: (id: string) => string,
): Readonly<Record<string, T>> => Object.fromEntries(Object.entries(record).map(([id, value]) => [rename(id), value]));

const withStep = <T extends { readonly step?: string }>(
  items: readonly T[],
  rename: (id: string) => string,
): readonly T[] => items.map((item) => (item.step === undefined ? item : { ...item, step: rename(item.step) }));

/** Everything that was entered, under the new ids. */
export const rekeyed = (job: JobState, names: NewNames): JobState => {
  if (Object.keys(names).length === 0) return job;
  const rename = (id: string): string => own(names, id) ?? id;
  return {
    ...job,
    steps: withKeys(job.steps, rename),
    tries: withKeys(job.tries, rename),
    fasteners: withKeys(job.fasteners, rename),
    looks: withKeys(job.looks, rename),
    batches: withStep(job.batches, rename),
    findings: withStep(job.findings, rename),
    departures: withStep(job.departures, rename),
    dispositions: withStep(job.dispositions, rename).map((one) => ({ ...one, on: rename(one.on) })),
    loose: withStep(job.loose, rename),
    photos: withStep(job.photos, rename),
    remarks: withStep(job.remarks, rename),
    log: withStep(job.log, rename),
  };
};
