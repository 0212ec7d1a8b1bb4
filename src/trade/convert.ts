import { err, ok, type Outcome } from '../fault/fault.ts';
import { convert, parseQuantity, printQuantity, readUnit, type Quantity } from '../quantity/quantity.ts';
import { findUnit } from '../quantity/units.ts';
import { exactly, type Calculation } from './calculation.ts';

/** The value in the dimension of the unit asked for: of `lb` to `N`, `lb` is a force. */
const inUnit = (value: string, to: string): Outcome<Quantity> => {
  const read = parseQuantity(value);
  if (!read.ok) return err({ ...read.fault, where: 'value' });
  const fits = findUnit(to, read.value.unit.dimension);
  if (fits !== undefined) return ok(convert(read.value, fits));
  const unit = readUnit(to, to);
  if (!unit.ok) return err({ ...unit.fault, where: 'to' });
  const again = parseQuantity(value, { dimension: unit.value.dimension });
  return again.ok ? ok(convert(again.value, unit.value)) : err({ ...again.fault, where: 'value' });
};

/** In the unit asked for; the result must not follow the unit that was typed. */
export const conversion: Calculation = {
  name: 'convert',
  title: 'A value in another unit',
  gives: 'any',
  inputs: [
    { name: 'value', dimension: 'text', required: true, about: 'the value, as in 70 in·lb' },
    { name: 'to', dimension: 'text', required: true, about: 'the unit, as in N·m' },
  ],
  source: 'NIST SP 811 (2008) B.8, exact factors',
  range: 'units of one kind; temperatures with their offset',
  caution: 'Keep a rule in its own unit: 5 °F is 2.78 °C, not 3 °C.',
  example: { value: '70 in·lb', to: 'N·m' },
  compute: (given) => {
    const [value, to] = [given.text('value'), given.text('to')];
    const read = inUnit(value, to);
    if (!read.ok) return read;
    return ok({
      results: [exactly('value', read.value.amount, read.value.unit)],
      working: `${value} = ${printQuantity(read.value)}`,
    });
  },
};
