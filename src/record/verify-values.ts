import { recalculate } from '../job/calculated.ts';
import { inRatio, readWeights } from '../job/potlife.ts';
import type { Mix } from '../procedure/model.ts';
import { agreesWithCalculated, decide, decideCalculated, type Verdict } from '../quantity/decision.ts';
import { fixLimits, parseLimits, type LimitOptions } from '../quantity/limits.ts';
import { parseQuantity } from '../quantity/quantity.ts';
import { findUnit } from '../quantity/units.ts';
import type { RecordMix, RecordReading, RecordStep, RecordTry } from './document-step.ts';
import type { RecordDocument } from './document.ts';
import { calculatedAgain } from './calculated.ts';
import { foundWrong, passed, type Observation } from './observe.ts';

/** What a value against plain limits comes to; nothing where the limits refer to another value or cannot be decided here. */
const decided = (reading: RecordReading, { value, calculated }: RecordTry): Verdict | undefined => {
  if (reading.unit === 'choice') return reading.accept?.includes(value) === true ? 'within' : 'outside';
  const unit = findUnit(reading.unit);
  if (!unit || reading.limits === undefined || reading.guarded === true) return undefined;
  const options: LimitOptions = reading.unit === 'count' ? { bare: unit } : { unit };
  const limits = parseLimits(reading.limits, options);
  const fixed = limits.ok ? fixLimits(limits.value, () => undefined) : undefined;
  const quantity = parseQuantity(value, { unit });
  if (!fixed || !quantity.ok) return undefined;
  return calculated === undefined ? decide(quantity.value, fixed) : decideCalculated(quantity.value, fixed);
};

const agrees = (verdict: RecordTry['verdict'], found: Verdict): boolean =>
  verdict === found || (verdict === 'within, twin open' && found === 'within');

const ofReading = (step: RecordStep, reading: RecordReading): readonly (Observation | undefined)[] =>
  reading.entered.map((taken) => {
    const found = decided(reading, taken);
    if (found === undefined) return undefined;
    const where = `steps[${step.step}].readings[${reading.reading}].entered[${taken.number}]`;
    return agrees(taken.verdict, found)
      ? passed(`${taken.value}: ${found}`, where)
      : foundWrong(
          `${taken.value} is ${found} ${reading.limits ?? ''}, and the record says ${taken.verdict ?? 'nothing'}`,
          where,
        );
  });

/** A value that is said to be calculated, calculated again. */
const ofCalculated = (step: RecordStep, reading: RecordReading): readonly Observation[] =>
  reading.entered.flatMap(({ number, value, calculated }) => {
    if (calculated === undefined) return [];
    const where = `steps[${step.step}].readings[${reading.reading}].entered[${number}].calculated`;
    const unit = findUnit(reading.unit);
    const typed = parseQuantity(value, unit ? { unit } : {});
    const done = recalculate(calculatedAgain(calculated));
    const same =
      typed.ok &&
      done.ok &&
      typed.value.unit.dimension === done.value.quantity.unit.dimension &&
      agreesWithCalculated(typed.value, done.value.quantity);
    return same
      ? [passed(`${value}: calculated again by ${calculated.calculation}`, where)]
      : [foundWrong(`${value} is not what ${calculated.calculation} gives for its inputs`, where)];
  });

type MixedTo = Pick<RecordMix, 'ratio' | 'by' | 'tolerance'>;

const mixOf = ({ material, sample }: RecordMix, { ratio, by, tolerance: typed }: MixedTo): Mix | undefined => {
  const tolerance = parseQuantity(typed);
  return tolerance.ok ? { material, ratio, by, sample, tolerance: tolerance.value, potLife: [] } : undefined;
};

const ofBatches = (step: RecordStep, recorded: RecordMix): readonly (Observation | undefined)[] => {
  return recorded.batches.map((batch) => {
    const mix = mixOf(recorded, batch['mixed-to'] ?? recorded);
    const weights = Object.fromEntries(batch.weights.map(({ part, weight }) => [part, weight]));
    const read = mix && readWeights(mix, weights);
    if (!mix || !read || !('parts' in read)) return undefined;
    const found = inRatio(mix, read.parts) ? 'within' : 'outside';
    const where = `steps[${step.step}].mix.batches[${batch.batch}]`;
    return found === batch.ratio
      ? passed(`${batch.batch}: ${found}`, where)
      : foundWrong(`the weights of ${batch.batch} are ${found} the ratio, and the record says ${batch.ratio}`, where);
  });
};

/** Verdicts decided again from the record's own limits and values, wherever these stand in full. */
export const verifyValues = (document: RecordDocument): readonly Observation[] => {
  const checked = document.steps
    .flatMap((step) => [
      ...(step.readings ?? []).flatMap((reading) => [...ofReading(step, reading), ...ofCalculated(step, reading)]),
      ...(step.mix ? ofBatches(step, step.mix) : []),
    ])
    .filter((one) => one !== undefined);
  const faults = checked.filter(({ level }) => level === 'fault');
  if (faults.length > 0) return faults;
  return [passed(`${checked.length} verdicts decided again, each with the same outcome`, 'steps')];
};
