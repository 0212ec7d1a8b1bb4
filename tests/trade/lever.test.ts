import fc from 'fast-check';
import Fraction from 'fraction.js';
import { describe, expect, it } from 'vitest';
import { quantity, toBase, type Quantity } from '../../src/quantity/quantity.ts';
import { leverRatio, torqueBehind, torqueShown } from '../../src/trade/lever.ts';

const tenths = (unit: string, least: number, most: number): fc.Arbitrary<Quantity> =>
  fc.integer({ min: least, max: most }).map((count) => quantity(`${(count / 10).toFixed(1)} ${unit}`));

const same = (one: Quantity, other: Quantity): boolean => toBase(one).equals(toBase(other));

describe('the lever of a torque wrench with an adapter', () => {
  it('turns 300 in·lb into 214 2/7 with 10 in and 4 in, and back', () => {
    const lever = leverRatio(quantity('10 in'), quantity('4 in')) ?? new Fraction(0);
    expect(lever.toFraction()).toBe('5/7');
    const shown = torqueShown(quantity('300 in·lb'), lever, undefined);
    expect(shown.amount.toFraction()).toBe('1500/7');
    expect(torqueBehind(shown, lever, undefined).amount.toFraction()).toBe('300');
  });

  it('has no ratio where the adapter leaves nothing of the wrench', () => {
    expect(leverRatio(quantity('10 in'), quantity('-10 in'))).toBeUndefined();
    expect(leverRatio(quantity('10 in'), quantity('-12 in'))).toBeUndefined();
    expect(leverRatio(quantity('0 in'), quantity('4 in'))).toBeUndefined();
    expect(leverRatio(quantity('10 in'), quantity('-4 in'))?.toFraction()).toBe('5/3');
  });

  it('gives back the torque at the fastener exactly, whatever wrench, adapter, drag and units', () => {
    fc.assert(
      fc.property(
        tenths('N·m', 1, 5000),
        tenths('in', 10, 400),
        tenths('mm', 0, 3000),
        tenths('in·lb', 0, 800),
        (torque, wrench, adapter, drag) => {
          const lever = leverRatio(wrench, adapter);
          return lever !== undefined && same(torqueBehind(torqueShown(torque, lever, drag), lever, drag), torque);
        },
      ),
    );
  });
});
