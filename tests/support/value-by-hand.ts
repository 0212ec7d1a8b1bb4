/*
 * Values and limits worked out by hand from what was typed, without any of the program's own arithmetic: whole numbers of any size, and the
 * sentences of the design. Only the units and the forms of limits that the tests type are known.
 */

/** A fraction; `bottom` is more than 0. */
interface Ratio {
  readonly top: bigint;
  readonly bottom: bigint;
}

const minus = (one: Ratio, other: Ratio): Ratio => ({
  top: one.top * other.bottom - other.top * one.bottom,
  bottom: one.bottom * other.bottom,
});
const plus = (one: Ratio, other: Ratio): Ratio => minus(one, { top: -other.top, bottom: other.bottom });
const isAbove = (one: Ratio, other: Ratio): boolean => minus(one, other).top > 0n;

/** In millimetres, or in degrees. */
const units: Readonly<Record<string, Ratio>> = {
  mm: { top: 1n, bottom: 1n },
  cm: { top: 10n, bottom: 1n },
  in: { top: 127n, bottom: 5n },
  '°': { top: 1n, bottom: 1n },
};

const decimal = (text: string): Ratio => {
  const [whole = '', parts = ''] = text.split('.');
  return { top: BigInt(whole + parts), bottom: 10n ** BigInt(parts.length) };
};

/** `12.5 mm`, `1/2 in`, `0,3 °`. */
export const valueByHand = (text: string): Ratio => {
  const [number = '', unit = ''] = text.replace(',', '.').split(' ');
  const [above = '', below = '1'] = number.split('/');
  const [top, bottom, size] = [decimal(above), decimal(below), units[unit]];
  if (!size) throw new RangeError(`${text} has a unit that is not known here`);
  return { top: top.top * bottom.bottom * size.top, bottom: top.bottom * bottom.top * size.bottom };
};

/** The ends of limits, both included: `at most 0.2 mm`, `12.5 ± 0.1 mm`, `12.4 +0.2 -0.1 mm`. */
const endsByHand = (limits: string): { readonly low?: Ratio; readonly high?: Ratio } => {
  const unit = limits.slice(limits.lastIndexOf(' ') + 1);
  const of = (number: string | undefined): Ratio => valueByHand(`${number ?? ''} ${unit}`);
  const most = /^at most ([\d.]+) /.exec(limits);
  if (most) return { high: of(most[1]) };
  const around = /^([\d.]+) (?:± ([\d.]+)|\+([\d.]+) -([\d.]+)) /.exec(limits);
  if (!around) throw new RangeError(`${limits} are limits that are not known here`);
  const middle = of(around[1]);
  return { low: minus(middle, of(around[2] ?? around[4])), high: plus(middle, of(around[2] ?? around[3])) };
};

export const verdictByHand = (value: string, limits: string): 'within' | 'outside' => {
  const typed = valueByHand(value);
  const { low, high } = endsByHand(limits);
  return (low && isAbove(low, typed)) || (high && isAbove(typed, high)) ? 'outside' : 'within';
};

/** The difference between the largest and the least of some values. */
export const spreadByHand = (values: readonly string[]): Ratio => {
  const sorted = values.map(valueByHand).toSorted((one, other) => (isAbove(one, other) ? 1 : -1));
  const [least, most] = [sorted[0], sorted.at(-1)];
  if (!least || !most) throw new Error('no values');
  return minus(most, least);
};

export const sameRatio = (one: Ratio, other: Ratio): boolean => minus(one, other).top === 0n;

export const isWithinMost = (spread: Ratio, limits: string): boolean => {
  const { high } = endsByHand(limits);
  return high !== undefined && !isAbove(spread, high);
};
