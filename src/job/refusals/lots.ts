import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Mix, Step } from '../../procedure/model.ts';
import { parseInstant } from '../../quantity/time.ts';
import { lotsFor, lotsInUse, lotUsed, materialNeed, wantsLot, type LotUsed } from '../lots.ts';
import { isDayOver, type Moment } from '../moment.ts';
import type { JobState, LotNamed } from '../state.ts';
import { walkedSteps } from '../step-state.ts';
import { untakenSteps } from '../untaken.ts';

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

/** A lot must be named and have a last good day, where the procedure asks for that, and that day must not be over. */
export const lotTrouble = (
  job: JobState,
  material: string,
  lot: LotUsed,
  named: string,
  moment: Moment,
): readonly Refusal[] => {
  const need = materialNeed(job, material);
  const { number, useBy } = lot;
  if (wantsLot(need) && number === undefined)
    return [refusal('lot-missing', `no lot is named for ${named}`, `name it (lot ${material})`)];
  if (need?.inDate === true && useBy === undefined)
    return [
      refusal(
        'lot-missing',
        `lot ${number ?? ''} of ${named} has no use-by`,
        'name the lot with its use-by, or enter that in the stock',
      ),
    ];
  return badLot(job, material, lot, moment);
};

export const lotRefusals = (job: JobState, mix: Mix, moment: Moment): readonly Refusal[] =>
  lotsFor(job, mix, moment.around).flatMap((lot) =>
    lotTrouble(job, mix.material, lot, `${mix.material}${mix.ratio.length > 1 ? ` (${lot.part})` : ''}`, moment),
  );

/**
 * The lots of the materials that a step takes in hand. A lot that was taken in hand at this step before is not asked about again: it may run
 * out of date while the step is open.
 */
export const materialRefusals = (job: JobState, step: Step, moment: Moment): readonly Refusal[] =>
  step.materials.flatMap((material) => {
    const used = lotsInUse(job, material);
    if (used.length === 0) return lotTrouble(job, material, { part: '' }, material, moment);
    const isTaken = ({ entry }: LotNamed): boolean =>
      job.taken.some((one) => one.step === step.step && one.lot === entry && one.superseded === undefined);
    const fresh = used.filter((lot) => !isTaken(lot)).map((lot) => lotUsed(lot.part ?? '', lot, moment.around));
    return [
      ...fresh.flatMap((lot) => lotTrouble(job, material, lot, material, moment)),
      ...otherLots(job, material, fresh, moment),
    ];
  });

/** The materials with a lot or a date that no step of the job mixes or takes in hand. */
const unasked = (job: JobState): readonly string[] => {
  const asked = new Set(
    walkedSteps(job).flatMap((step) => [...step.materials, ...(step.mix ? [step.mix.material] : [])]),
  );
  return job.plan.gather.materials.flatMap((need) =>
    wantsLot(need) && !asked.has(need.material) ? [need.material] : [],
  );
};

/** Those of them for which no lot is named yet, and those that a finished step lacks since its page asks for them. */
export const materialsOwed = (job: JobState): readonly string[] => [
  ...unasked(job).filter((material) => lotsInUse(job, material).length === 0),
  ...job.plan.gather.materials.flatMap(({ material }) => (untakenSteps(job, material).length > 0 ? [material] : [])),
];

/** Lots that no step asks for are asked for at completion. They are decided by when they were named, because they were used then. */
export const lotsOwed = (job: JobState, moment: Moment): readonly Refusal[] => [
  ...materialsOwed(job).flatMap((material) => lotTrouble(job, material, { part: '' }, material, moment)),
  ...unasked(job).flatMap((material) =>
    lotsInUse(job, material).flatMap((lot) =>
      lotTrouble(job, material, lotUsed(lot.part ?? '', lot, moment.around), material, momentOf(moment, lot.when)),
    ),
  ),
];

/** The moment at another instant (RFC 3339). */
const momentOf = (moment: Moment, when: string): Moment => {
  const read = parseInstant(when);
  return read.ok ? { ...moment, ms: read.value.ms, offset: read.value.offset } : moment;
};

const otherLots = (job: JobState, material: string, lots: readonly LotUsed[], { around }: Moment): readonly Refusal[] =>
  job.plan.after
    .filter((after) => after.sameLot)
    .flatMap((after) => {
      const used = around.lotsUsedIn(after.procedure, material);
      return lots
        .filter((lot) => lot.number !== undefined && used.length > 0 && !used.includes(lot.number))
        .map((lot) =>
          refusal(
            'earlier-procedure',
            `lot ${lot.number ?? ''} of ${material} is not one that ${after.procedure} used (${used.join(', ')})`,
            `use the same lot, or do ${after.procedure} with this one`,
          ),
        );
    });

/** With `after … same-lot`, the lots used now must be those of the earlier procedure. */
export const sameLotRefusals = (job: JobState, mix: Mix, moment: Moment): readonly Refusal[] =>
  otherLots(job, mix.material, lotsFor(job, mix, moment.around), moment);
