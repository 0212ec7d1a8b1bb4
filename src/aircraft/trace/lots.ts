import type { JobState } from '../../job/state.ts';
import { stepOf } from '../../procedure/plan.ts';
import { batchTrails } from './batches.ts';
import { groundWith, rest, workWith } from './rest.ts';
import type { Trail } from './trail.ts';

interface LotName {
  readonly material: string;
  readonly number: string;
}

const materialOf = (job: JobState, step: string): string => stepOf(job.plan, step)?.mix?.material ?? '';

const lotsIn = (job: JobState): readonly LotName[] => {
  const mixed = job.batches.flatMap((batch) =>
    Object.values(batch.lots).map((number) => ({ material: materialOf(job, batch.step), number })),
  );
  const all = [...job.lots, ...mixed].map(({ material, number }): LotName => ({ material, number }));
  return [...new Map(all.map((lot) => [JSON.stringify(lot), lot])).values()];
};

/** The lots of a job: every naming of one, every batch mixed from it, and every step that took it in hand. */
export const lotTrails = (job: JobState): readonly Trail[] =>
  lotsIn(job).map(({ material, number }) => {
    const named = job.lots.filter((lot) => lot.material === material && lot.number === number);
    const mixed = new Set(
      job.batches
        .filter((batch) => materialOf(job, batch.step) === material && Object.values(batch.lots).includes(number))
        .map(({ batch }) => batch),
    );
    const batches = batchTrails(job).filter(({ of }) => of.kind === 'batch' && mixed.has(of.batch));
    const taken = job.taken.filter((one) => named.some(({ entry }) => entry === one.lot));
    return {
      of: { kind: 'lot', material, number },
      names: [number],
      rests: [
        ...named.map((lot) =>
          rest(
            job,
            undefined,
            'lot',
            `${material}${lot.part === undefined ? '' : ` (${lot.part})`} named for use`,
            lot,
          ),
        ),
        ...batches.flatMap(({ rests }) => rests),
        ...taken.flatMap((one) => workWith(job, one)),
      ],
      grounds: [...batches.flatMap(({ grounds }) => grounds), ...taken.flatMap((one) => groundWith(job, one))],
    };
  });
