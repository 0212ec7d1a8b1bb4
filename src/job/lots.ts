import type { GatheredMaterial, Mix } from '../procedure/model.ts';
import type { JobState, LotNamed } from './state.ts';
import type { LotNow, Surroundings } from './surroundings.ts';

/** A lot as this job named it and as the stock lists it: of a material, or of one part of a mix. */
export interface LotUsed {
  readonly part: string;
  readonly number?: string;
  /** The last good day of the lot. */
  readonly useBy?: string;
  /** Why the lot is in quarantine. */
  readonly quarantine?: string;
}

/** What the procedure says about a material. */
export const materialNeed = ({ plan }: JobState, material: string): GatheredMaterial | undefined =>
  plan.gather.materials.find((one) => one.material === material);

/** True where a lot of the material must be named before it is used. */
export const wantsLot = (need: GatheredMaterial | undefined): boolean => need?.lot === true || need?.inDate === true;

/**
 * The last good day of a lot. An extension on evidence overrules the label that was extended. Of two labels that differ, the earlier day
 * counts.
 */
export const lastGoodDay = (
  lot: Pick<LotNamed, 'useBy'> | undefined,
  stock: LotNow | undefined,
): string | undefined => {
  const label = lot?.useBy;
  const isExtended = stock?.extended !== undefined && (label === undefined || label >= (stock.useBy ?? ''));
  if (isExtended) return stock.goodUntil;
  return [label, stock?.goodUntil].filter((day) => day !== undefined).toSorted()[0];
};

export const lotUsed = (part: string, lot: LotNamed | undefined, around: Pick<Surroundings, 'lot'>): LotUsed => {
  if (!lot) return { part };
  const stock = around.lot(lot.material, lot.number);
  const useBy = lastGoodDay(lot, stock);
  return {
    part,
    number: lot.number,
    ...(useBy === undefined ? {} : { useBy }),
    ...(stock?.quarantine === undefined ? {} : { quarantine: stock.quarantine.because }),
  };
};

/** The lots that a mix would use now. Each part uses the lot last named in this job, for the part or for the whole kit. */
export const lotsFor = (job: JobState, mix: Mix, around: Surroundings): readonly LotUsed[] =>
  mix.ratio.map(({ part }) =>
    lotUsed(
      part,
      job.lots.findLast((one) => one.material === mix.material && (one.part === undefined || one.part === part)),
      around,
    ),
  );

/** The lots of a material that are in use now: the one last named for the whole of it, and those named since for single parts. */
export const lotsInUse = (job: Pick<JobState, 'lots'>, material: string): readonly LotNamed[] => {
  const named = job.lots.filter((lot) => lot.material === material);
  const since = named.slice(
    Math.max(
      0,
      named.findLastIndex(({ part }) => part === undefined),
    ),
  );
  return since.filter((lot, index) => since.findLastIndex(({ part }) => part === lot.part) === index);
};
