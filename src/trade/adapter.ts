import Fraction from 'fraction.js';
import { err, ok, type Outcome } from '../fault/fault.ts';
import { makeQuantity, printQuantity, toBase, type Quantity } from '../quantity/quantity.ts';
import { fromFloat } from '../quantity/rational.ts';
import {
  exactly,
  isPositive,
  outOfRange,
  type CalculationInputs,
  type InputSpec,
  type NamedResult,
} from './calculation.ts';
import { leverRatio } from './lever.ts';

const noLength = outOfRange(
  'the wrench has no length',
  'measure from the centre of the drive to the centre of the grip',
);

const reachesBack = outOfRange(
  'the adapter reaches back beyond the wrench’s own length',
  'a negative adapter must be shorter than the wrench',
);

/** The adapter's reach along the wrench: E·cos α; exact in line and square to it. */
const alongWrench = (
  adapter: Quantity,
  angle: Quantity | undefined,
): Outcome<{ readonly reach: Quantity; readonly exact: boolean }> => {
  if (angle === undefined) return ok({ reach: adapter, exact: true });
  const degrees = toBase(angle);
  if (degrees.s < 0n || degrees.compare(180) > 0)
    return err(
      outOfRange(
        `an angle of ${printQuantity(angle)} is outside 0 to 180 °`,
        'give the angle between the adapter and the wrench’s axis',
      ),
    );
  const square: Readonly<Record<string, number>> = { '0': 1, '60': 0.5, '90': 0, '120': -0.5, '180': -1 };
  const known = square[degrees.toFraction()];
  if (known !== undefined)
    return ok({ reach: makeQuantity(adapter.amount.mul(new Fraction(known * 2, 2)), adapter.unit), exact: true });
  const cosine = Math.cos((degrees.valueOf() * Math.PI) / 180);
  return ok({ reach: makeQuantity(adapter.amount.mul(fromFloat(cosine)), adapter.unit), exact: false });
};

export const inputs = (torque: string): readonly InputSpec[] => [
  { name: 'torque', dimension: 'torque', required: true, about: torque },
  { name: 'wrench', dimension: 'length', required: true, about: 'length of the wrench, drive to middle of the grip' },
  { name: 'adapter', dimension: 'length', required: true, about: 'length that the adapter adds; negative shortens' },
  {
    name: 'angle',
    dimension: 'angle',
    required: false,
    bare: '°',
    about: 'between adapter and wrench; 0 ° in line, 90 ° changes nothing',
  },
  { name: 'drag', dimension: 'torque', required: false, about: 'drag as the wrench showed it, with the adapter on' },
];

export const adapterSource =
  'TW = TA × L / (L + E): TM 1-1500-204-23-9 figure 8-16; Navy training manual, torque wrench extensions; at an angle E × cos α: TM 9-254 figure 46; drag is added, AC 43.13-1B 7-40 d';

export const adapterRange =
  'wrench above zero; an adapter that shortens must be shorter than the wrench; angle 0 to 180 °';

export const adapterCaution =
  'Hold the wrench at the middle of its grip: its length is part of the sum. The adapter is measured along the wrench’s axis, drive to fastener.';

interface Setup {
  readonly share: Fraction;
  readonly exact: boolean;
  readonly lever: string;
}

export const setup = (given: CalculationInputs): Outcome<Setup> => {
  const [wrench, adapter] = [given.quantity('wrench'), given.quantity('adapter')];
  if (!isPositive(given.quantity('torque')))
    return err(outOfRange('the torque is not above zero', 'give a torque above zero'));
  const drag = given.maybe('drag');
  if (drag !== undefined && drag.amount.s < 0n)
    return err(outOfRange('the drag is negative', 'enter the drag as the wrench showed it'));
  const reach = alongWrench(adapter, given.maybe('angle'));
  if (!reach.ok) return reach;
  const share = leverRatio(wrench, reach.value.reach);
  if (share === undefined) return err(isPositive(wrench) ? reachesBack : noLength);
  const sign = reach.value.reach.amount.s < 0n ? '-' : '+';
  const size = makeQuantity(reach.value.reach.amount.abs(), adapter.unit);
  return ok({
    share,
    exact: reach.value.exact,
    lever: `(${printQuantity(wrench)} ${sign} ${printQuantity(size)})`,
  });
};

export const adapterResult = (name: string, q: Quantity, exact: boolean): NamedResult => ({
  ...exactly(name, q.amount, q.unit),
  exact,
});
