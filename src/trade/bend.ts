import Fraction from 'fraction.js';
import { bad, good, type Outcome } from '../fault/fault.ts';
import { convert, makeQuantity, printQuantity, toBase, type Quantity } from '../quantity/quantity.ts';
import { fromFloat, toNumber } from '../quantity/rational.ts';
import {
  exactly,
  firstNotPositive,
  outOfRange,
  type Calculation,
  type Given,
  type InputSpec,
  type Result,
} from './calculation.ts';

const perRadius = new Fraction('0.01743');
const perThickness = new Fraction('0.0078');

interface Bend {
  readonly radius: Quantity;
  readonly thickness: Quantity;
  /** Degrees bent through. */
  readonly angle: Fraction;
}

const bendInputs: readonly InputSpec[] = [
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

const readBend = (given: Given): Outcome<Bend> => {
  const [radius, thickness] = [given.quantity('radius'), given.quantity('thickness')];
  const fault = firstNotPositive({ radius, thickness });
  if (fault !== undefined) return bad(fault);
  const angle = toBase(given.quantity('angle'));
  if (angle.compare(0) <= 0 || angle.compare(180) >= 0)
    return bad(
      outOfRange(
        `a bend through ${printQuantity(given.quantity('angle'))} is outside 0 to 180 °`,
        'give the degrees bent through: a square flange is 90 °',
      ),
    );
  return good({ radius, thickness: convert(thickness, radius.unit), angle });
};

/** BA = (0.01743 R + 0.0078 T) N, exact. */
const allowance = ({ radius, thickness, angle }: Bend): Fraction =>
  radius.amount.mul(perRadius).add(thickness.amount.mul(perThickness)).mul(angle);

/** K = tan(θ/2). A square bend is exactly 1. */
const factor = ({ angle }: Bend): Fraction =>
  angle.equals(90) ? new Fraction(1) : fromFloat(Math.tan((toNumber(angle) * Math.PI) / 360));

const setbackOf = (bend: Bend): Fraction => factor(bend).mul(bend.radius.amount.add(bend.thickness.amount));

const source =
  'BA = (0.01743 R + 0.0078 T) N and SB = K (R + T), K = tan(N/2): AC 43.13-1B chapter 4, table 4-7 (K computed: the table’s row for 176 ° is wrong)';
const range = 'bends through more than 0 and less than 180 °; radius and thickness above zero';
const caution =
  'N is the angle bent through, not the angle left open. Metal differs: bend a test strip of the same sheet, across the grain, before cutting the part.';
const example = { radius: '0.16 in', thickness: '0.040 in', angle: '90 °' };

const bent = (name: string, amount: Fraction, bend: Bend, exact: boolean): Result => ({
  ...exactly(name, amount, bend.radius.unit),
  exact,
});
const shown = (amount: Fraction, bend: Bend): string => printQuantity(makeQuantity(amount, bend.radius.unit));

export const bendAllowance: Calculation = {
  name: 'bend-allowance',
  title: 'Metal that goes into a bend',
  inputs: bendInputs,
  source,
  range,
  caution,
  example,
  compute: (given) => {
    const bend = readBend(given);
    if (!bend.ok) return bend;
    const amount = allowance(bend.value);
    const { radius, thickness, angle } = bend.value;
    return good({
      results: [bent('allowance', amount, bend.value, true)],
      working: `(0.01743 × ${printQuantity(radius)} + 0.0078 × ${printQuantity(thickness)}) × ${angle.toString()} = ${shown(amount, bend.value)}`,
    });
  },
};

export const setback: Calculation = {
  name: 'setback',
  title: 'Mold line to tangent line of a bend',
  inputs: bendInputs,
  source,
  range,
  caution,
  example,
  compute: (given) => {
    const bend = readBend(given);
    if (!bend.ok) return bend;
    const square = bend.value.angle.equals(90);
    const [amount, k] = [setbackOf(bend.value), factor(bend.value)];
    const deduction = amount.mul(2).sub(allowance(bend.value));
    const { radius, thickness } = bend.value;
    return good({
      results: [bent('setback', amount, bend.value, square), bent('deduction', deduction, bend.value, square)],
      working: `K ${toNumber(k).toFixed(5)} × (${printQuantity(radius)} + ${printQuantity(thickness)}) = ${shown(amount, bend.value)}; deduction 2 SB − BA = ${shown(deduction, bend.value)}`,
    });
  },
};

export const flatLength: Calculation = {
  name: 'flat-length',
  title: 'Flat length of a part with equal bends',
  inputs: [
    {
      name: 'leg',
      dimension: 'length',
      required: true,
      many: true,
      about: 'each side, measured to the mold lines, in order',
    },
    ...bendInputs,
  ],
  source: `flat = Σ legs − (2 SB − BA) for each bend. ${source}`,
  range: `two legs or more, a bend between each two, all alike; ${range}`,
  caution,
  example: { leg: '1.00 in; 2.00 in; 1.00 in', ...example },
  compute: (given) => {
    const bend = readBend(given);
    if (!bend.ok) return bend;
    const legs = given.list('leg').map(({ quantity }) => convert(quantity, bend.value.radius.unit).amount);
    if (legs.length < 2) return bad(outOfRange('a bent part has two legs or more', 'give leg="1.00 in; 2.00 in"'));
    const [back, into] = [setbackOf(bend.value), allowance(bend.value)];
    const flats = legs.map((leg, index) => leg.sub(back.mul(index === 0 || index === legs.length - 1 ? 1 : 2)));
    const short = flats.find((flat) => flat.s < 0n);
    if (short !== undefined)
      return bad(
        outOfRange(
          'a leg is shorter than its setbacks',
          'the bend does not fit on it; check legs, radius and thickness',
        ),
      );
    const square = bend.value.angle.equals(90);
    const total = flats.reduce((sum, flat) => sum.add(flat)).add(into.mul(legs.length - 1));
    return good({
      results: [
        bent('flat-length', total, bend.value, square),
        ...flats.map((flat, index) => bent(`flat-${index + 1}`, flat, bend.value, square)),
      ],
      working: `flats ${flats.map((flat) => shown(flat, bend.value)).join(' + ')} + ${legs.length - 1} × ${shown(into, bend.value)} = ${shown(total, bend.value)}`,
    });
  },
};
