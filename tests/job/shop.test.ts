import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { statusOf } from '../../src/aircraft/status.ts';
import { next } from '../../src/job/next.ts';
import { potLifeNow } from '../../src/job/potlife.ts';
import { currentStep } from '../../src/job/where.ts';
import { printInstant } from '../../src/quantity/time.ts';
import type { Data } from '../../src/job/entry.ts';
import type { Engine } from '../support/engine.ts';
import { bond, dryFitted } from './fixtures.ts';

const minute = 60_000;
const nine = Date.parse('2026-03-02T09:00:00+01:00');
const at = (minutes: number): string => printInstant(nine + minutes * minute, 60);
const good = { weights: { resin: '100 g', hardener: '44 g' }, with: 'marit', sample: 'S-1' };

const asking = (shop: string): string => bond.replace('gather:\n', `gather:\n  shop: { ${shop} }\n`);

/** Before the mix: every lot is named, and everything fits but perhaps the shop. It is ten o'clock. */
const toMix = (yaml: string): Engine => {
  const engine = dryFitted(yaml);
  engine.says('lot', 'adhesive', { number: 'L-1', 'use-by': '2027-01-31' }).taken();
  return engine.at(at(60));
};

const shop = (engine: Engine, minutes: number, data: Data): Engine => {
  engine.says('shop', undefined, data, at(minutes)).taken();
  return engine;
};

const momentOf = (engine: Engine, ms: number) => {
  const job = engine.job();
  return { around: aroundOf(engine.state(), job, ms), ms, offset: 60, by: 'ines', with: ['marit'] };
};

const wantsOf = (engine: Engine, ms: number): readonly unknown[] => {
  const job = engine.job();
  const step = currentStep(job);
  return step ? next(job, step, momentOf(engine, ms)).wants.filter(({ want }) => want === 'shop') : [];
};

describe('the shop', () => {
  const both = asking('temperature: 18 to 28 °C, humidity: at most 70 %');

  it('must be known: a value that was not entered refuses the mix, by name', () => {
    const engine = toMix(both);
    expect(engine.says('mix', 'mix', good).refused('shop-outside').what).toBe(
      'the temperature of the air was not entered in the last 2 h',
    );
    shop(engine, 60, { temperature: '20 °C' });
    expect(engine.says('mix', 'mix', good).refused('shop-outside').what).toContain('humidity was not entered');
    shop(engine, 60, { humidity: '71 %' });
    expect(engine.says('mix', 'mix', good).refused('shop-outside').what).toContain('71 %');
    shop(engine, 60, { humidity: '70 %' });
    engine.says('mix', 'mix', good).taken();
  });

  it('counts for two hours, each value by itself, from when it was read', () => {
    const engine = shop(shop(toMix(both), -60, { temperature: '20 °C' }), -61, { humidity: '55 %' });
    expect(engine.says('mix', 'mix', good).refused('shop-outside').what).toContain('humidity');
    shop(engine, 10, { humidity: '55 %' });
    engine.says('mix', 'mix', good).taken();
  });

  it('counts for as long as the page says', () => {
    const engine = toMix(asking('temperature: 18 to 28 °C, not-older: 30 min'));
    shop(engine, 29, { temperature: '20 °C' });
    expect(engine.says('mix', 'mix', good).refused('shop-outside').what).toContain('in the last 30 min');
    shop(engine, 30, { temperature: '20 °C' });
    engine.says('mix', 'mix', good).taken();
  });

  it('is not known from weeks ago', () => {
    const engine = shop(toMix(both), 60, { temperature: '20 °C', humidity: '55 %' });
    engine.at('2026-03-23T09:00:00+01:00').says('mix', 'mix', good).refused('shop-outside');
  });

  it('takes the temperature of the place or of the mix itself, and the latest humidity whatever the order of entry', () => {
    const engine = shop(shop(toMix(both), 50, { humidity: '60 %' }), 20, { humidity: '90 %' });
    engine.says('mix', 'mix', good).refused('shop-outside');
    engine.says('mix', 'mix', { ...good, temperature: '14 °C' }).refused('shop-outside');
    engine.says('mix', 'mix', { ...good, temperature: '20 °C' }).taken();
    const other = shop(toMix(both), 50, { humidity: '60 %' });
    other.says('temperature', '19 °C', {}, at(0)).taken();
    other.says('mix', 'mix', good).taken();
  });

  it('above the dew point needs the temperature of the work itself', () => {
    const engine = shop(toMix(asking('above-dew-point: at least 3 °C')), 60, {
      temperature: '20 °C',
      humidity: '60 %',
    });
    expect(engine.says('mix', 'mix', good).refused('shop-outside').what).toContain('the work itself');
    // Air of 20 °C at 60 % has its dew point at 12.0 °C.
    shop(engine, 60, { surface: '14 °C' });
    expect(engine.says('mix', 'mix', good).refused('shop-outside').what).toContain('above the dew point');
    shop(engine, 60, { surface: '15.1 °C' });
    engine.says('mix', 'mix', good).taken();
  });

  it('given a humidity entered while the clock was in doubt, when the clock is set right, then it is not known how old it is', () => {
    const engine = toMix(asking('humidity: at most 70 %'));
    shop(engine, 60, { humidity: '55 %' });
    const wrong = toMix(asking('humidity: at most 70 %'));
    wrong.says('remark', 'the battery is new').taken();
    wrong.at(at(30)).says('shop', undefined, { humidity: '55 %' }).taken();
    wrong.at(at(90)).says('clock', at(90)).taken();
    expect(wrong.says('mix', 'mix', good).refused('shop-outside').what).toContain('humidity was not entered');
    engine.at(at(90)).says('mix', 'mix', good).taken();
  });

  it('is asked for before the batch is weighed, and said in the status', () => {
    const engine = shop(toMix(both), 60, { temperature: '20 °C' });
    expect(wantsOf(engine, nine + 60 * minute)).toEqual([{ want: 'shop', unknown: ['humidity'] }]);
    expect(statusOf(engine.state(), nine + 60 * minute).jobs[0]?.waitsFor).toContain('the shop: humidity');
    shop(engine, 60, { humidity: '55 %' });
    expect(wantsOf(engine, nine + 60 * minute)).toEqual([]);
    // After two hours it is asked again, and the mix would be refused.
    expect(wantsOf(engine, nine + 181 * minute)).toEqual([{ want: 'shop', unknown: ['temperature', 'humidity'] }]);
  });

  it('may be departed from, and then is not asked for', () => {
    const engine = toMix(both);
    engine
      .says('depart', 'shop-outside', { says: 'at most 70 %', did: 'no hygrometer', because: 'it is broken' })
      .taken();
    expect(wantsOf(engine, nine + 60 * minute)).toEqual([]);
    engine.says('mix', 'mix', good).taken();
  });
});

describe('the pot life', () => {
  const minutesOf = (engine: Engine, minutes: number): number => {
    const ms = nine + minutes * minute;
    const life = potLifeNow(engine.job(), ['mix'], momentOf(engine, ms).around, ms);
    return ((life?.ends ?? 0) - (life?.mixed ?? 0)) / minute;
  };

  it('takes a temperature of the last two hours, and is at its shortest where there is none', () => {
    const old = toMix(bond);
    old.says('temperature', '20 °C', {}, at(-61)).taken();
    old.says('mix', 'mix', good).taken();
    expect(minutesOf(old, 60)).toBe(20);
    const fresh = toMix(bond);
    fresh.says('temperature', '20 °C', {}, at(-60)).taken();
    fresh.says('mix', 'mix', good).taken();
    expect(minutesOf(fresh, 60)).toBe(35);
  });

  it('takes the hottest, from the last temperature before the mix onwards', () => {
    const engine = toMix(bond);
    engine.says('temperature', '30 °C', {}, at(20)).taken();
    engine.says('temperature', '20 °C', {}, at(50)).taken();
    engine.says('mix', 'mix', good).taken();
    expect(minutesOf(engine, 60)).toBe(35);
    engine.at(at(70)).says('temperature', '24 °C').taken();
    expect(minutesOf(engine, 69)).toBe(35);
    expect(minutesOf(engine, 70)).toBe(20);
    engine.says('temperature', '18 °C').taken();
    expect(minutesOf(engine, 75)).toBe(20);
  });

  it('is not changed by what is read after it is over', () => {
    const engine = toMix(bond);
    engine.says('mix', 'mix', { ...good, temperature: '20 °C' }).taken();
    engine.at(at(200)).says('temperature', '38 °C').taken();
    expect(minutesOf(engine, 200)).toBe(35);
    engine.says('temperature', '28 °C', {}, at(94)).taken();
    expect(minutesOf(engine, 200)).toBe(20);
  });
});
