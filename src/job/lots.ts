import type { Mix } from '../procedure/model.ts';
import type { JobState, LotNamed } from './state.ts';
import type { LotNow, Surroundings } from './surroundings.ts';

/** The lot of one part of a mix, as this job named it and as the stock has it. */
export interface LotUsed {
  readonly part: string;
  readonly number?: string;
  /** Its last good day. */
  readonly useBy?: string;
  /** Why it is set aside. */
  readonly quarantine?: string;
}

/** The last good day of a lot: an extension on evidence stands above the label; else the sooner of label and stock. */
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

/** The lots that a mix would use now: for each part the lot last named in this job, for it or for the whole kit. */
export const lotsFor = (job: JobState, mix: Mix, around: Surroundings): readonly LotUsed[] =>
  mix.ratio.map(({ part }) =>
    lotUsed(
      part,
      job.lots.findLast((one) => one.material === mix.material && (one.part === undefined || one.part === part)),
      around,
    ),
  );
