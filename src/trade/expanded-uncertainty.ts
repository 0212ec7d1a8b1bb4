import { err, ok } from '../fault/fault.ts';
import { expandedSquared } from '../quantity/decision.ts';
import { printQuantity, type Quantity } from '../quantity/quantity.ts';
import { printNumber, toNumber } from '../quantity/rational.ts';
import { differenceUnit } from '../quantity/units.ts';
import { computed, firstNotPositive, wrongInput, type Calculation } from './calculation.ts';

const asDifference = (q: Quantity): Quantity => ({ ...q, unit: differenceUnit(q.unit) });

export const expandedUncertainty: Calculation = {
  name: 'expanded-uncertainty',
  title: 'Uncertainty U (k = 2) of a tool from its resolution and calibration',
  gives: 'any',
  inputs: [
    { name: 'resolution', dimension: 'any', required: true, about: 'smallest step d that the tool shows' },
    { name: 'standard', dimension: 'any', required: false, about: 'standard uncertainty u of its calibration, k = 1' },
    { name: 'calibration', dimension: 'any', required: false, about: 'in place of it: U of the certificate, k = 2' },
  ],
  source: 'U² = 4 (d²/12 + u²): GUM 4.3.7 for the resolution, from memory; a certificate’s U is halved',
  range: 'all above zero',
  caution: 'The hand that holds the tool is not in it.',
  example: { resolution: '0.01 mm', standard: '0.01 mm' },
  compute: (given) => {
    const [standard, calibration] = [given.maybe('standard'), given.maybe('calibration')];
    if (standard !== undefined && calibration !== undefined)
      return err(wrongInput('calibration', 'it is given twice', 'give standard, or calibration'));
    const resolution = asDifference(given.quantity('resolution'));
    const u =
      standard ?? (calibration === undefined ? undefined : { ...calibration, amount: calibration.amount.div(2) });
    const fault = firstNotPositive({ resolution, ...(u === undefined ? {} : { calibration: u }) });
    if (fault !== undefined) return err(fault);
    const known = { resolution, ...(u === undefined ? {} : { standard: asDifference(u) }) };
    const squared = toNumber(expandedSquared(known, resolution, resolution.unit));
    const expanded = computed('expanded', Math.sqrt(squared), resolution.unit);
    return ok({
      results: [expanded],
      working: `2 √((${printQuantity(resolution)})²/12${u === undefined ? '' : ` + (${printNumber(u.amount)} ${u.unit.name})²`}) = ${printQuantity(expanded.quantity)}`,
    });
  },
};
