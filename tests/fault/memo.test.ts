import { describe, expect, it } from 'vitest';
import { latest, memoised, memoisedBy, once } from '../../src/fault/memo.ts';

describe('a remembered value', () => {
  it('is made once, when it is first asked for', () => {
    let made = 0;
    const value = once(() => (made += 1));
    expect(made).toBe(0);
    expect([value(), value()]).toEqual([1, 1]);
  });

  it('is made once for each object, also where the value is undefined', () => {
    let made = 0;
    const nothing = memoised((_whole: object): undefined => void (made += 1));
    const [one, other] = [{}, {}];
    expect([nothing(one), nothing(one), nothing(other)]).toEqual([undefined, undefined, undefined]);
    expect(made).toBe(2);
  });

  it('is made once for each object and key', () => {
    let made = 0;
    const count = memoisedBy((_whole: object, _key: string) => (made += 1));
    const [one, other] = [{}, {}];
    expect([count(one, 'a'), count(one, 'a'), count(one, 'b'), count(other, 'a')]).toEqual([1, 1, 2, 3]);
  });

  it('is found by the name of its key, where keys are made anew', () => {
    let made = 0;
    const count = memoisedBy(
      (_whole: object, _key: { readonly id: string }) => (made += 1),
      ({ id }) => id,
    );
    const whole = {};
    expect([count(whole, { id: 'a' }), count(whole, { id: 'a' }), count(whole, { id: 'b' })]).toEqual([1, 1, 2]);
  });

  it('is kept by `latest` until other arguments are given', () => {
    let made = 0;
    const get = latest((one: number, other: number) => `${one} ${other} ${(made += 1)}`);
    const answers = [get(1, 2), get(1, 2), get(1, Number.NaN), get(1, Number.NaN), get(1, 2)];
    expect(answers).toEqual(['1 2 1', '1 2 1', '1 NaN 2', '1 NaN 2', '1 2 3']);
  });
});
