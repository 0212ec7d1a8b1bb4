import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { parseQuantity, toBase, type Quantity } from '../quantity/quantity.ts';
import { outOfRange } from './calculation.ts';

/** A time that a data sheet states for a temperature. */
export interface CurePoint {
  readonly time: Quantity;
  readonly at: Quantity;
}

/** `24 h at 70 °F`. */
export const readCurePoint = (text: string, where: string): Outcome<CurePoint> => {
  const parts = /^(.+?)\s+at\s+(.+)$/i.exec(text.trim());
  if (parts === null)
    return err(usage('input-wrong', `${where} is no time at a temperature`, 'write it as in 24 h at 20 °C', where));
  const time = parseQuantity(parts[1] ?? '', { dimension: 'time' });
  if (!time.ok) return err({ ...time.fault, where });
  const at = parseQuantity(parts[2] ?? '', { dimension: 'temperature' });
  if (!at.ok) return err({ ...at.fault, where });
  if (time.value.amount.compare(0) <= 0)
    return err(outOfRange(`${where} has no time above zero`, 'give the time that the data sheet states'));
  if (toBase(at.value).compare(0) <= 0)
    return err(outOfRange(`${where} lies at or below absolute zero`, 'check the temperature and its unit'));
  return ok({ time: time.value, at: at.value });
};

/** Seconds and kelvin, for the exponential alone. */
interface Plain {
  readonly seconds: number;
  readonly kelvin: number;
}

export const plainPoint = (point: CurePoint): Plain => ({
  seconds: toBase(point.time).valueOf(),
  kelvin: toBase(point.at).valueOf(),
});

/** Q = Ea/R in kelvin through two points: ln(t1/t2) / (1/T1 − 1/T2). */
export const activation = (one: Plain, two: Plain): number =>
  Math.log(one.seconds / two.seconds) / (1 / one.kelvin - 1 / two.kelvin);

/** Time at a temperature on the line through a point: t1·exp(Q(1/T − 1/T1)); in the unit of the point's time. */
export const timeAt = (time: number, from: number, kelvin: number, q: number): number =>
  time * Math.exp(q * (1 / kelvin - 1 / from));

/** Two points of one sheet, colder first; refused where the hotter one is not the faster. */
export const orderedPoints = (one: CurePoint, two: CurePoint): Outcome<readonly [CurePoint, CurePoint]> => {
  const [colder, hotter] = toBase(one.at).compare(toBase(two.at)) <= 0 ? [one, two] : [two, one];
  if (toBase(colder.at).equals(toBase(hotter.at)))
    return err(
      outOfRange('both points are at one temperature', 'give two points of the data sheet at different temperatures'),
    );
  if (toBase(colder.time).compare(toBase(hotter.time)) <= 0)
    return err(outOfRange('the hotter point is not the faster one', 'check the two points against the data sheet'));
  return ok([colder, hotter]);
};
