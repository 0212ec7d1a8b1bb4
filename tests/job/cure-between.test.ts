import { expect, it, describe } from 'vitest';
import { bond, cureIn, toCure } from './fixtures.ts';

/**
 * 8 h at 18 °C and 4 h at 25 °C. Where ln(time) runs linearly in 1/T (the law of Arrhenius; T in kelvin), 20 °C takes 6 h 32 min 26 s: the
 * share is (1/293.15 − 1/291.15) / (1/298.15 − 1/291.15) = 0.29058, and 8 h × (4/8)^0.29058 = 6.5407 h. By the colder point it takes 8 h.
 */
describe('a cure at a temperature between two points', () => {
  const page = (between: string): string =>
    bond
      .replace('handle: 18 h at 18 °C, full: 7 d at 18 °C', 'handle: [4 h at 25 °C, 8 h at 18 °C]')
      .replace('floor: 18 °C }', `floor: 18 °C${between} }`);

  const reachedAfter = (between: string, minutes: number): boolean => {
    const engine = toCure(page(between));
    engine.says('temperature', '20 °C').taken();
    engine.at(`+${minutes}min`).says('temperature', '20 °C').taken();
    const at = engine.entries().at(-1)?.at ?? '';
    return cureIn(engine.state(), at).stages[0]?.reached === true;
  };

  it('given the curve chosen by the author, then 20 °C takes 6 h 32 min 26 s', () => {
    expect([391, 392, 393].map((minutes) => reachedAfter(', between: arrhenius', minutes))).toEqual([
      false,
      false,
      true,
    ]);
  });

  it('given nothing chosen, then the time of the colder point counts', () => {
    expect([393, 479, 480].map((minutes) => reachedAfter('', minutes))).toEqual([false, false, true]);
  });

  it('given the curve, when it is warmer than the hottest point, then 4 h count, and the last second is not rounded away', () => {
    const engine = toCure(page(', between: arrhenius'));
    engine.says('temperature', '30 °C').taken();
    engine.at('+4h').says('temperature', '30 °C').taken();
    engine.says('finish', 'cure').refused('cure-not-reached');
    engine.at('+1s').says('temperature', '30 °C').taken();
    engine.says('finish', 'cure').taken();
  });
});
