import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Mix } from '../../procedure/model.ts';
import { lotsFor, lotUsed, type LotUsed } from '../lots.ts';
import { isDayOver, type Moment } from '../moment.ts';
import type { JobState, LotNamed } from '../state.ts';

/** Why a lot may not be used now, and what to do; empty where it may. */
const badLot = (job: JobState, material: string, lot: LotUsed, moment: Moment): readonly Refusal[] => {
  const { number = '', useBy, quarantine } = lot;
  const or = job.plan.strict ? '' : ', or depart from it with its reason (depart lot-expired)';
  if (quarantine !== undefined)
    return [
      refusal(
        'lot-expired',
        `lot ${number} of ${material} is in quarantine: ${quarantine}`,
        `use another lot, or take it out once that is settled (dryfit stock restore ${material} ${number})${or}`,
      ),
    ];
  return useBy !== undefined && isDayOver(useBy, moment)
    ? [
        refusal(
          'lot-expired',
          `lot ${number} of ${material} was good until ${useBy}`,
          `use another lot, or extend it on the maker's own word (dryfit stock extend ${material} ${number})${or}`,
        ),
      ]
    : [];
};

/** Warns when a lot is named that a mix would be refused. Naming the lot is not refused. */
export const namedLotTrouble = (job: JobState, lot: LotNamed, moment: Moment): readonly Refusal[] =>
  badLot(job, lot.material, lotUsed(lot.part ?? '', lot, moment.around), moment);

/** The lots of a mix must be named and have a last good day, where the procedure asks for that, and that day must not be over. */
export const lotRefusals = (job: JobState, mix: Mix, moment: Moment): readonly Refusal[] => {
  const need = job.plan.gather.materials.find((one) => one.material === mix.material);
  return lotsFor(job, mix, moment.around).flatMap((lot) => {
    const { part, number, useBy } = lot;
    const named = `${mix.material}${mix.ratio.length > 1 ? ` (${part})` : ''}`;
    if ((need?.lot === true || need?.inDate === true) && number === undefined)
      return [refusal('lot-missing', `no lot is named for ${named}`, `name it (lot ${mix.material})`)];
    if (need?.inDate === true && useBy === undefined)
      return [
        refusal(
          'lot-missing',
          `lot ${number ?? ''} of ${named} has no use-by`,
          'name the lot with its use-by, or enter that in the stock',
        ),
      ];
    return badLot(job, mix.material, lot, moment);
  });
};

/** With `after … same-lot`, the lots used now must be those of the earlier procedure. */
export const sameLotRefusals = (job: JobState, mix: Mix, { around }: Moment): readonly Refusal[] =>
  job.plan.after
    .filter((after) => after.sameLot)
    .flatMap((after) => {
      const used = around.lotsUsedIn(after.procedure, mix.material);
      return lotsFor(job, mix, around)
        .filter((lot) => lot.number !== undefined && used.length > 0 && !used.includes(lot.number))
        .map((lot) =>
          refusal(
            'earlier-procedure',
            `lot ${lot.number ?? ''} of ${mix.material} is not one that ${after.procedure} used (${used.join(', ')})`,
            `use the same lot, or do ${after.procedure} with this one`,
          ),
        );
    });
