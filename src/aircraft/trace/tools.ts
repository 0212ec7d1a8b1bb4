import { own } from '../../fault/own.ts';
import { msOf } from '../../job/cure.ts';
import type { JobState } from '../../job/state.ts';
import { resultNow } from '../../job/values.ts';
import type { Result, Step } from '../../procedure/model.ts';
import { printQuantity } from '../../quantity/quantity.ts';
import type { Ground } from '../over.ts';
import { batchTrails } from './batches.ts';
import { rest, valuesAt, type Rest } from './rest.ts';
import type { Trail } from './trail.ts';

/** Results calculated from any of these readings, and results calculated from those results. */
const resultsFrom = (job: JobState, readings: readonly string[]): readonly { step: Step; result: Result }[] => {
  const ids = new Set(readings);
  return job.plan.steps.flatMap((step) =>
    step.results.flatMap((result) => {
      if (!Object.values(result.from).some((input) => input.kind === 'id' && ids.has(input.id))) return [];
      ids.add(result.result);
      return [{ step, result }];
    }),
  );
};

/** What depends on one tool in one job: each value taken with it, and what was calculated from those values. */
const valuesWith = (job: JobState, tool: string): readonly Rest[] => {
  const read = Object.entries(job.tries).flatMap(([reading, tries]) =>
    tries.some((one) => one.tool === tool && one.superseded === undefined) ? [reading] : [],
  );
  return [
    ...job.plan.steps.flatMap((step) => valuesAt(job, step, (one) => one.tool === tool)),
    ...resultsFrom(job, read).flatMap(({ step, result }) => {
      const value = resultNow(job, result.result)?.quantity;
      return value ? [rest(job, step, 'result', `${result.result} ${printQuantity(value)}`)] : [];
    }),
  ];
};

/** The steps of a job that have a value taken with a tool, for finding what was built over them. */
const groundsOfTool = (job: JobState, tool: string): readonly Ground[] =>
  job.plan.steps.flatMap((step) => {
    const taken = [
      ...step.readings.flatMap(({ reading }) => own(job.tries, reading) ?? []),
      ...(own(job.fasteners, step.step) ?? []),
    ].filter((one) => one.tool === tool && one.superseded === undefined);
    return taken.length === 0 ? [] : [{ job, step, from: Math.min(...taken.map((one) => msOf(one.when))) }];
  });

const toolsIn = (job: JobState): readonly string[] => [
  ...new Set(
    [...Object.values(job.tries).flat(), ...Object.values(job.fasteners).flat(), ...job.batches].flatMap(
      ({ tool }) => tool ?? [],
    ),
  ),
];

/** The individual tools of a job: each value and fastener taken with one, and the batches that a scale weighed. */
export const toolTrails = (job: JobState): readonly Trail[] =>
  toolsIn(job).map((tool) => {
    const weighed = new Set(job.batches.filter((batch) => batch.tool === tool).map(({ batch }) => batch));
    const batches = batchTrails(job).filter(({ of }) => of.kind === 'batch' && weighed.has(of.batch));
    return {
      of: { kind: 'tool', tool },
      names: [tool],
      rests: [...valuesWith(job, tool), ...batches.flatMap(({ rests }) => rests)],
      grounds: [...groundsOfTool(job, tool), ...batches.flatMap(({ grounds }) => grounds)],
    };
  });
