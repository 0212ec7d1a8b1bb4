import type { Mix } from '../procedure/model.ts';
import type { JobState, LotNamed } from './state.ts';
import type { LotNow, Surroundings } from './surroundings.ts';

/** The lot of one part of a mix, as this job named it and as the stock lists it. */
export interface LotUsed {
  readonly part: string;
  readonly number?: string;
  /** The last good day of the lot. */
  readonly useBy?: string;
  /** Why the lot is in quarantine. */
  readonly quarantine?: string;
}

/** The last good day of a lot: that of an extension on evidence, which overrules the label; else the earlier of label and stock. */
const lastGoodDay = (lot: LotNamed, stock: LotNow | undefined): string | undefined => {
  if (stock?.extended) return stock.goodUntil;
  return [lot.useBy, stock?.goodUntil].filter((day) => day !== undefined).toSorted()[0];
};

export const lotUsed = (part: string, lot: LotNamed | undefined, around: Surroundings): LotUsed => {
  if (!lot) return { part };
  const stock = around.lot(lot.material, lot.number);
  const useBy = lastGoodDay(lot, stock);
  return {
    part,
    number: lot.number,
    ...(useBy === undefined ? {} : { useBy }),
    ...(stock?.quarantine === undefined ? {} : { quarantine: stock.quarantine }),
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
