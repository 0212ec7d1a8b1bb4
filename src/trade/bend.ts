import Fraction from 'fraction.js';
import { err, ok, type Outcome } from '../fault/fault.ts';
import { convert, makeQuantity, printQuantity, toBase, type Quantity } from '../quantity/quantity.ts';
import { fromFloat, toNumber } from '../quantity/rational.ts';
import {
  exactly,
  firstNotPositive,
  outOfRange,
  type CalculationInputs,
  type InputSpec,
  type NamedResult,
} from './calculation.ts';

const perRadius = new Fraction('0.01743');

const perThickness = new Fraction('0.0078');

interface Bend {
  readonly radius: Quantity;
  readonly thickness: Quantity;
  /** Degrees bent through. */
  readonly angle: Fraction;
}

export const bendInputs: readonly InputSpec[] = [
  { name: 'radius', dimension: 'length', required: true, about: 'inside radius of the bend' },
  { name: 'thickness', dimension: 'length', required: true, about: 'thickness of the sheet' },
  {
    name: 'angle',
    dimension: 'angle',
    required: true,
    bare: '°',
    about: 'degrees bent through, not the angle left open',
  },
];

export const readBend = (given: CalculationInputs): Outcome<Bend> => {
  const [radius, thickness] = [given.quantity('radius'), given.quantity('thickness')];
  const fault = firstNotPositive({ radius, thickness });
  if (fault !== undefined) return err(fault);
  const angle = toBase(given.quantity('angle'));
  if (angle.compare(0) <= 0 || angle.compare(180) >= 0)
    return err(
      outOfRange(
        `a bend through ${printQuantity(given.quantity('angle'))} is outside 0 to 180 °`,
        'give the degrees bent through: a square flange is 90 °',
      ),
    );
  return ok({ radius, thickness: convert(thickness, radius.unit), angle });
};

/** BA = (0.01743 R + 0.0078 T) N, exact. */
export const allowance = ({ radius, thickness, angle }: Bend): Fraction =>
  radius.amount.mul(perRadius).add(thickness.amount.mul(perThickness)).mul(angle);

/** K = tan(θ/2). A square bend is exactly 1. */
export const factor = ({ angle }: Bend): Fraction =>
  angle.equals(90) ? new Fraction(1) : fromFloat(Math.tan((toNumber(angle) * Math.PI) / 360));

export const setbackOf = (bend: Bend): Fraction => factor(bend).mul(bend.radius.amount.add(bend.thickness.amount));

export const bendSource =
  'BA = (0.01743 R + 0.0078 T) N and SB = K (R + T), K = tan(N/2): AC 43.13-1B chapter 4, table 4-7 (K computed: the table’s row for 176 ° is wrong)';

export const bendRange = 'bends through more than 0 and less than 180 °; radius and thickness above zero';

export const bendCaution =
  'N is the angle bent through, not the angle left open. Metal differs: bend a test strip of the same sheet, across the grain, before cutting the part.';

export const example = { radius: '0.16 in', thickness: '0.040 in', angle: '90 °' };

export const bent = (name: string, amount: Fraction, bend: Bend, exact: boolean): NamedResult => ({
  ...exactly(name, amount, bend.radius.unit),
  exact,
});

export const bendShown = (amount: Fraction, bend: Bend): string =>
  printQuantity(makeQuantity(amount, bend.radius.unit));
