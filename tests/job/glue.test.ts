import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { cureNow, msOf } from '../../src/job/cure.ts';
import { potLifeNow } from '../../src/job/potlife.ts';
import { currentStep } from '../../src/job/where.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { bond, dryFitted, scale, shopBond, small } from './fixtures.ts';

const lot = { number: 'L-204', 'use-by': '2027-01-31' };
const good = { weights: { resin: '100 g', hardener: '44 g' }, with: 'marit', sample: 'S-1' };

const toSpread = (): Engine => {
  const engine = dryFitted();
  engine.says('lot', 'adhesive', lot).taken();
  engine.says('mix', 'mix', good).taken();
  engine.says('finish', 'mix').taken();
  return engine;
};

const toCure = (): Engine => {
  const engine = toSpread();
  engine.says('temperature', '20 °C').taken();
  engine.at('+30min').says('finish', 'bond').taken();
  return engine;
};

describe('mixing', () => {
  it('refuses a lot, a missing helper, a batch size and a cold shop beforehand, and records a batch out of ratio as discarded', () => {
    const engine = dryFitted(shopBond);
    engine.says('temperature', '20 °C').taken();
    engine.says('mix', 'mix', good).refused('lot-missing');
    engine.says('lot', 'adhesive', { number: 'L-1' }).taken();
    engine.says('mix', 'mix', good).refused('lot-missing');
    engine.says('lot', 'adhesive', { number: 'L-1', 'use-by': '2026-03-01' }).taken();
    engine.says('mix', 'mix', good).refused('lot-expired');
    engine.says('lot', 'adhesive', { number: 'L-2', 'use-by': '2026-03-02' }).taken();
    engine.says('mix', 'mix', { weights: good.weights }).refused('helper-missing');
    engine.says('mix', 'mix', { ...good, weights: { resin: '110 g', hardener: '48.4 g' } }).refused('batch-size');
    engine.says('mix', 'mix', { ...good, temperature: '14 °C' }).refused('shop-outside');
    engine.says('mix', 'mix', { weights: { resin: '110 g', hardener: '48.4 g' }, discarded: 'true' }).taken();
    expect(currentStep(engine.job())?.step).toBe('mix');
    engine.says('mix', 'mix', good).taken();
    expect(engine.job().batches.map((batch) => batch.batch)).toEqual(['B-1', 'B-2']);
  });

  it.each([
    ['44.88 g', 'within'],
    ['44.881 g', 'outside'],
    ['43.12 g', 'within'],
    ['43.119 g', 'outside'],
  ])('decides %s of hardener to 100 g exactly', (hardener, verdict) => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    const taken = engine.says('mix', 'mix', { ...good, weights: { resin: '100 g', hardener } }).taken();
    expect(taken.verdict).toBe(verdict);
    engine.says('finish', 'mix')[verdict === 'within' ? 'taken' : 'refused']('part-missing');
    expect(engine.job().batches[0]?.discarded === undefined).toBe(verdict === 'within');
  });

  it('asks for the proof at the mix, and never with the glue already on', () => {
    const engine = engineWith([bond], { tools: scale });
    engine.says('start', 'bond').taken();
    engine.says('read', 'gap', { value: '0.15' }).taken();
    engine.says('read', 'width', { value: '12.5' }).taken();
    engine.says('finish', 'measure').taken();
    engine.says('skip', 'dry-fit', { because: 'no time', before: 'hull-close' }).taken();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('mix', 'mix', good).refused('proof-missing');
    engine.says('depart', 'proof-missing', { says: 'dry fit', did: 'none', because: 'the jig proves it' }).taken();
    const taken = engine.says('mix', 'mix', good).taken();
    expect(taken.data['departures']).toHaveLength(1);
    engine.says('finish', 'mix').taken();
    engine.says('finish', 'bond').taken();
  });

  it('takes no departure in a strict procedure', () => {
    const engine = dryFitted(bond.replace('revision: A', 'revision: A\nstrict: true'));
    engine.says('depart', 'lot-missing', { says: 'a', did: 'b', because: 'c' }).refused('strict');
  });
});

describe('pot life', () => {
  const ends = (engine: Engine): number | undefined => {
    const job = engine.job();
    return potLifeNow(
      job,
      ['mix'],
      aroundOf(engine.state(), job, msOf('2026-03-02T12:00:00+01:00')),
      msOf('2026-03-02T12:00:00+01:00'),
    )?.ends;
  };
  const minutes = (engine: Engine): number => ((ends(engine) ?? 0) - msOf('2026-03-02T09:00:00+01:00')) / 60_000;

  it.each([
    [undefined, 20],
    ['20 °C', 35],
    ['18 °C', 35],
    ['21 °C', 20],
    ['28 °C', 20],
  ])('at %s it is %i min', (temperature, expected) => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('mix', 'mix', { ...good, ...(temperature === undefined ? {} : { temperature }) }).taken();
    expect(minutes(engine)).toBe(expected);
  });

  it('halves for each 10 °C above the hottest point, rounded down to whole seconds', () => {
    const engine = dryFitted();
    engine.says('lot', 'adhesive', lot).taken();
    engine.says('mix', 'mix', { ...good, temperature: '38 °C' }).taken();
    expect(minutes(engine)).toBe(10);
    engine.at('+5min').says('temperature', '41 °C').taken();
    expect(minutes(engine)).toBe(Math.floor(1200 * 2 ** -1.3) / 60);
  });

  it('once over, allows only to discard the batch or a departure', () => {
    const engine = toSpread();
    engine.at('+20min1s'.replace('min1s', 'min')).says('begin', 'bond').taken();
    engine.at('+1s').says('finish', 'bond').refused('pot-life-over');
    engine.says('discard', 'B-1', { because: 'pot life over' }).taken();
    expect(currentStep(engine.job())?.step).toBe('mix');
    engine.says('mix', 'mix', { ...good, sample: 'S-2' }).taken();
    engine.says('finish', 'mix').taken();
    engine.says('finish', 'bond').taken();
  });
});

describe('cure', () => {
  it('is reached by 6 h + 11 h 50 min + 10 min of 18 h, and not by one second less', () => {
    for (const [last, verdict] of [
      ['10min', 'taken'],
      ['599s', 'refused'],
    ] as const) {
      const engine = toCure();
      engine.says('temperature', '18 °C').taken();
      engine.at('+6h').says('temperature', '18 °C').taken();
      engine.at('+710min').says('temperature', '19 °C').taken();
      engine.at(`+${last}`).says('temperature', '18 °C').taken();
      engine.says('finish', 'cure')[verdict]('cure-not-reached');
    }
  });

  it('counts 18 of 38 clock hours where the night was cold', () => {
    const engine = toCure();
    const hours = [0, 6, 10, 14, 20, 26, 38];
    const log = ['20.5', '19.0', '17.2', '15.1', '14.8', '18.4', '20.0'];
    let gone = 0;
    log.forEach((value, index) => {
      engine
        .at(`+${(hours[index] ?? 0) - gone}h`)
        .says('temperature', `${value} °C`)
        .taken();
      gone = hours[index] ?? 0;
    });
    const job = engine.job();
    const step = currentStep(job);
    const at = msOf('2026-03-03T23:30:00+01:00');
    const now = step && cureNow(job, step, aroundOf(engine.state(), job, at), at);
    expect(now?.clockMs).toBe(38 * 3_600_000);
    expect(now?.stages[0]?.countedMs).toBe(18 * 3_600_000);
    engine.says('finish', 'cure').taken();
  });

  it('opens a nonconformance where a late reading takes a finished cure back', () => {
    const engine = toCure();
    engine.at('+20h').says('temperature', '20 °C').taken();
    engine.says('finish', 'cure').taken();
    engine.says('break', 'S-1', { result: 'held' }).taken();
    engine.says('finish', 'break').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('temperature', '12 °C', {}, '2026-03-02T15:00:00+01:00').taken();
    engine.says('complete').refused('nonconformance-open');
    engine.says('dispose', 'cure', { 'as-what': 'use-as-is', reason: 'sample held', 'accepted-by': 'quillon' }).taken();
    engine.says('complete').taken();
  });

  const counted = (readings: readonly { readonly hour: number; readonly celsius: number }[]): number => {
    const engine = toCure();
    for (const { hour, celsius } of readings)
      engine.says(
        'temperature',
        `${celsius} °C`,
        {},
        `2026-03-0${2 + Math.floor(hour / 24)}T${String(hour % 24).padStart(2, '0')}:30:00+01:00`,
      );
    const job = engine.job();
    const at = msOf('2026-03-09T09:30:00+01:00');
    const step = job.plan.steps.find((one) => one.step === 'cure');
    return (step && cureNow(job, step, aroundOf(engine.state(), job, at), at)?.stages[0]?.countedMs) ?? -1;
  };

  it('never counts more with a colder history, and does not depend on the order of entry', () => {
    const reading = fc.record({ hour: fc.integer({ min: 10, max: 60 }), celsius: fc.integer({ min: 10, max: 30 }) });
    fc.assert(
      fc.property(
        fc.array(reading, { minLength: 2, maxLength: 8 }),
        fc.nat(7),
        fc.integer({ min: 1, max: 9 }),
        (readings, which, by) => {
          // Entered on the ninth, when all readings are in the past.
          const colder = readings.map((one, index) =>
            index === which % readings.length ? { ...one, celsius: one.celsius - by } : one,
          );
          const now = countedLate(readings);
          expect(countedLate(colder)).toBeLessThanOrEqual(now);
          expect(countedLate(readings.toReversed())).toBe(now);
        },
      ),
      { numRuns: 40 },
    );
  });

  const countedLate = (readings: Parameters<typeof counted>[0]): number => {
    const engine = toCure();
    engine.at('2026-03-09T09:30:00+01:00');
    for (const { hour, celsius } of readings)
      engine
        .says(
          'temperature',
          `${celsius} °C`,
          {},
          `2026-03-0${2 + Math.floor(hour / 24)}T${String(hour % 24).padStart(2, '0')}:30:00+01:00`,
        )
        .taken();
    const job = engine.job();
    const at = msOf('2026-03-09T09:30:00+01:00');
    const step = job.plan.steps.find((one) => one.step === 'cure');
    return (step && cureNow(job, step, aroundOf(engine.state(), job, at), at)?.stages[0]?.countedMs) ?? -1;
  };
});

describe('samples', () => {
  it('are broken only once their stage is reached; a failed one keeps the job from completing', () => {
    const engine = toCure();
    engine.says('temperature', '20 °C').taken();
    engine.says('break', 'S-1', { result: 'held' }).refused('cure-not-reached');
    engine.at('+19h').says('temperature', '20 °C').taken();
    engine.says('finish', 'cure').taken();
    engine.says('finish', 'break').refused('part-missing');
    engine.says('break', 'S-9', { result: 'held' }).wrong('unknown-id');
    engine.says('break', 'S-1', { result: 'failed', remark: 'shiny glue, no fibre' }).taken();
    engine.says('finish', 'break').taken();
    engine.as('tobias').says('release', 'look').taken();
    engine.as('ines').says('finish', 'look').taken();
    engine.says('complete').refused('nonconformance-open');
    engine.says('dispose', 'S-1', { 'as-what': 'rework', reason: 'bond it again' }).taken();
    expect(currentStep(engine.job())?.step).toBe('mix');
  });
});

describe('a small cure, counted exactly', () => {
  it('between two points uses the colder one, above the hottest counts no more, and below the coldest counts nothing', () => {
    const yaml = small(
      `
  - step: mix
    title: Mix
    mix: { material: glue, ratio: { a: 1, b: 1 }, by: weight, tolerance: 2 %, pot-life: [1 h at 20 °C] }
  - step: cure
    title: Cure
    cure: { of: mix, stages: { handle: [24 h at 25 °C, 48 h at 18 °C] }, floor: 10 °C }
`,
      'gather: { materials: [{ material: glue }] }\n',
    );
    const engine = engineWith([yaml]);
    engine.says('start', 'small').taken();
    engine.says('mix', 'mix', { weights: { a: '10 g', b: '10 g' } }).taken();
    engine.says('finish', 'mix').taken();
    engine.says('temperature', '24.9 °C').taken();
    engine.at('+24h').says('temperature', '30 °C').taken();
    engine.at('+12h').says('temperature', '40 °C').taken();
    engine.at('+24h').says('temperature', '17 °C').taken();
    engine.says('finish', 'cure').taken();
    const shorter = engineWith([yaml]);
    shorter.says('start', 'small').taken();
    shorter.says('mix', 'mix', { weights: { a: '10 g', b: '10 g' } }).taken();
    shorter.says('finish', 'mix').taken();
    shorter.says('temperature', '24.9 °C').taken();
    shorter.at('+24h').says('temperature', '30 °C').taken();
    shorter.at('+43199s').says('temperature', '40 °C').taken();
    shorter.at('+24h').says('temperature', '17 °C').taken();
    shorter.says('finish', 'cure').refused('cure-not-reached');
  });
});
