import Fraction from 'fraction.js';
import { err, ok, refusal, wrong, type Outcome } from '../fault/fault.ts';
import type { FixedBound, FixedLimits } from './limits.ts';
import { compareQuantities, convert, minus, parseQuantity, printQuantity, type Quantity } from './quantity.ts';
import { compareFractions } from './rational.ts';
import { differenceUnit, type Unit } from './units.ts';

export type Verdict = 'within' | 'outside' | 'undecided';

const meets = (order: -1 | 0 | 1, bound: FixedBound): boolean => order > 0 || (order === 0 && bound.included);

/** Plain decision: exact, the ends as the limits include them. Values of another dimension are a bug. */
export const decide = (value: Quantity, limits: FixedLimits): 'within' | 'outside' =>
  (limits.low === undefined || meets(compareQuantities(value, limits.low.at), limits.low)) &&
  (limits.high === undefined || meets(compareQuantities(limits.high.at, value), limits.high))
    ? 'within'
    : 'outside';

/** The error that a calculated result carries, relative to its size, absolute below 1. */
const calculatedError = new Fraction(1, 1_000_000_000);

const errorOf = (value: Quantity): Fraction => {
  const size = value.amount.abs();
  return size.gt(1) ? calculatedError.mul(size) : calculatedError;
};

/** Whether a number may be the calculated one, as rounded when it was entered: no further from it than the calculated one's error. */
export const agreesWithCalculated = (value: Quantity, calculated: Quantity): boolean => {
  const there = convert(calculated, value.unit);
  return compareFractions(value.amount.sub(there.amount).abs(), errorOf(there)) <= 0;
};

/** Decision on a calculated result: inside its error bound of a limit, undecided. */
export const decideCalculated = (value: Quantity, limits: FixedLimits): Verdict => {
  const error = errorOf(value);
  const distances = [
    ...(limits.low === undefined ? [] : [value.amount.sub(convert(limits.low.at, value.unit).amount)]),
    ...(limits.high === undefined ? [] : [convert(limits.high.at, value.unit).amount.sub(value.amount)]),
  ];
  if (distances.some((distance) => compareFractions(distance, error.neg()) < 0)) return 'outside';
  return distances.every((distance) => compareFractions(distance, error) > 0) ? 'within' : 'undecided';
};

/**
 * What is known of the individual tool: its expanded uncertainty U (k = 2; in `%`, of the value), or its resolution d
 * with the standard uncertainty u of its calibration, from which U² = 4(d²/12 + u²).
 */
export type Uncertainty =
  { readonly expanded: Quantity } | { readonly resolution: Quantity; readonly standard?: Quantity };

export interface UncertaintySpec {
  /** U, k = 2. */
  readonly uncertainty?: string;
  readonly resolution?: string;
  /** U of the calibration certificate, k = 2: halved. */
  readonly calibration?: string;
  /** u, k = 1. */
  readonly standard?: string;
}

const readPart = (text: string, unit: Unit, key: string, share: boolean): Outcome<Quantity> => {
  const relative = share && unit.dimension !== 'percent' && /%|percent/.test(text);
  const read = parseQuantity(text, { dimension: relative ? 'percent' : differenceUnit(unit).dimension });
  if (!read.ok) return err({ ...read.fault, kind: 'wrong', where: key });
  if (read.value.amount.compare(0) > 0) return read;
  return err(
    wrong(
      'uncertainty-unreadable',
      `${key} ${text} is not above zero`,
      'write it as the certificate prints it, above zero',
      key,
    ),
  );
};

/** Reads what the build says of a tool; undefined where it says nothing. `unit` is the reading's. */
export const readUncertainty = (spec: UncertaintySpec, unit: Unit): Outcome<Uncertainty | undefined> => {
  const parts: Partial<Record<keyof UncertaintySpec, Quantity>> = {};
  for (const key of ['uncertainty', 'resolution', 'calibration', 'standard'] as const) {
    const text = spec[key];
    if (text === undefined) continue;
    const read = readPart(text, unit, key, key === 'uncertainty');
    if (!read.ok) return read;
    parts[key] = read.value;
  }
  const { uncertainty, resolution, calibration } = parts;
  if (uncertainty !== undefined) return ok({ expanded: uncertainty });
  const half = (q: Quantity): Quantity => ({ ...q, amount: q.amount.div(2) });
  const standard = parts.standard ?? (calibration === undefined ? undefined : half(calibration));
  if (resolution !== undefined) return ok({ resolution, ...(standard === undefined ? {} : { standard }) });
  return ok(standard === undefined ? undefined : { expanded: { ...standard, amount: standard.amount.mul(2) } });
};

/** U² in the square of `unit`. */
export const expandedSquared = (u: Uncertainty, value: Quantity, unit: Unit): Fraction => {
  const square = (q: Quantity): Fraction => {
    const amount = convert(q, unit).amount;
    return amount.mul(amount);
  };
  if (!('expanded' in u))
    return square(u.resolution)
      .div(3)
      .add(u.standard === undefined ? 0 : square(u.standard).mul(4));
  if (u.expanded.unit.dimension !== 'percent' || unit.dimension === 'percent') return square(u.expanded);
  const share = value.amount.mul(u.expanded.amount).mul(u.expanded.unit.factor);
  return share.mul(share);
};

/**
 * Guarded decision, ILAC-G8:09/2019 4.2: within ≤ TL − U < undecided ≤ TL < outside, at both ends. Squares are compared, so it is exact.
 * Refused (`uncertainty`) where 2U is not smaller than the zone: nothing could be found within.
 */
export const decideGuarded = (value: Quantity, limits: FixedLimits, u: Uncertainty): Outcome<Verdict> => {
  const unit = differenceUnit(value.unit);
  const guard = expandedSquared(u, value, unit);
  const distance = (from: Quantity, to: Quantity): Fraction => convert(minus(to, from), unit).amount;
  if (limits.low !== undefined && limits.high !== undefined) {
    const zone = distance(limits.low.at, limits.high.at);
    if (zone.s < 0n || compareFractions(guard.mul(4), zone.mul(zone)) >= 0)
      return err(
        refusal(
          'uncertainty',
          `twice the uncertainty of the tool is not smaller than the zone ${printQuantity(limits.low.at)} to ${printQuantity(limits.high.at)}`,
          'use a finer tool; this one can find nothing within',
        ),
      );
  }
  if (decide(value, limits) === 'outside') return ok('outside');
  const room = [
    ...(limits.low === undefined ? [] : [distance(limits.low.at, value)]),
    ...(limits.high === undefined ? [] : [distance(value, limits.high.at)]),
  ];
  return ok(room.every((far) => compareFractions(far.mul(far), guard) >= 0) ? 'within' : 'undecided');
};
