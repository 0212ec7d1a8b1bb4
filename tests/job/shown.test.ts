import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/aircraft/surroundings.ts';
import { entriesOf } from '../../src/job/entries.ts';
import { limitsInLabels } from '../../src/job/limits-shown.ts';
import { troublesOf } from '../../src/job/troubles.ts';
import { toCopy } from '../../src/job/to-copy.ts';
import { troubleWords } from '../../src/job/trouble-words.ts';
import { uncountedBetween, uncountedWhy } from '../../src/job/uncounted.ts';
import { readingOf } from '../../src/procedure/plan.ts';
import { engineWith, type Engine } from '../support/engine.ts';

const page = `
procedure: p
title: P
revision: A
steps:
  - step: wood
    title: Moisture
    readings:
      - { reading: moisture, ask: Moisture, unit: '%', limits: 8 to 14 %, positions: [forward, aft] }
      - { reading: core, ask: Moisture of the core, unit: '%' }
      - { reading: cover, ask: Moisture of the cover, unit: '%', limits: core ± 2 % }
      - { reading: face, ask: The face is, choices: [clean, dusty], accept: [clean] }
  - step: weigh
    title: Weigh
    readings:
      - { reading: left, ask: Left scale, unit: kg }
      - { reading: right, ask: Right scale, unit: kg }
    results:
      - { result: empty-weight, calculation: sum, from: { value1: left, value2: right }, limits: at most 230 kg }
  - step: log
    title: Log
    readings:
      - { reading: logged, ask: Empty weight as written, unit: kg, limits: empty-weight ± 0.05 kg }
      - { reading: plate, ask: Weight on the plate, unit: kg, limits: logged ± 0 kg }
      - { reading: again, ask: Weighed again, unit: kg, limits: logged ± 1 kg }
  - step: bolts
    title: Bolts
    tighten: { fasteners: 2, torque: 160 to 190 in·lb }
  - step: mix
    title: Mix
    mix: { material: m, ratio: { a: 100, b: 44 }, by: weight, tolerance: 2 % }
  - step: cure
    title: Cure
    cure: { of: mix, stages: { full: 24 h at 18 °C }, floor: 18 °C, reading-every: 12 h }
`;

const begun = (): Engine => {
  const engine = engineWith([page]);
  engine.says('start', 'p').taken();
  return engine;
};

const words = (engine: Engine, step: string) => {
  const job = engine.job();
  const found = job.plan.steps.find((one) => one.step === step);
  const around = aroundOf(engine.state(), job, Date.parse('2026-03-02T09:00:00+01:00'));
  return found ? troublesOf(job, found).map((one) => troubleWords(job, one, around)) : [];
};

const weighed = (engine: Engine): Engine => {
  engine.says('read', 'moisture', { value: '22.1 %', position: 'forward' }).taken();
  engine.says('read', 'moisture', { value: '12.5 %', position: 'forward', reason: 'dried' }).taken();
  engine.says('read', 'moisture', { value: '12 %', position: 'aft' }).taken();
  engine.says('read', 'core', { value: '12.5 %' }).taken();
  engine.says('read', 'cover', { value: '13 %' }).taken();
  engine.says('read', 'face', { value: 'clean' }).taken();
  engine.says('finish', 'wood').taken();
  engine.says('read', 'left', { value: '106.21667 kg' }).taken();
  engine.says('read', 'right', { value: '106.21666 kg' }).taken();
  engine.says('finish', 'weigh').taken();
  return engine;
};

describe('what is wrong with a value, as a person reads it', () => {
  it('names it by its label, says which end it is beyond, and lists the tries of that place alone', () => {
    const engine = begun();
    engine.says('read', 'moisture', { value: '22.1 %', position: 'forward' }).taken();
    expect(words(engine, 'wood')).toEqual([
      { title: 'Moisture, forward', what: '22.1 %: too large, limit 14 %', tries: [] },
    ]);
    engine.says('read', 'moisture', { value: '7.5 %', position: 'aft' }).taken();
    engine.says('read', 'moisture', { value: '7.9 %', position: 'aft', reason: 'again' }).taken();
    expect(words(engine, 'wood').at(-1)).toEqual({
      title: 'Moisture, aft',
      what: '7.9 %: too small, limit 8 %',
      tries: ['7.5 %', '7.9 %'],
    });
  });

  it('works a formula out, and says which choices are accepted', () => {
    const engine = begun();
    engine.says('read', 'moisture', { value: '10.5 %', position: 'forward' }).taken();
    engine.says('read', 'moisture', { value: '10.5 %', position: 'aft' }).taken();
    engine.says('read', 'core', { value: '10.5 %' }).taken();
    engine.says('read', 'cover', { value: '13 %' }).taken();
    engine.says('read', 'face', { value: 'dusty' }).taken();
    expect(words(engine, 'wood')).toEqual([
      { title: 'Moisture of the cover', what: '13 %: too large, limit 12.5 %', tries: [] },
      { title: 'The face is', what: 'dusty: not accepted; accepted: clean', tries: [] },
    ]);
    const { plan } = engine.job();
    const cover = readingOf(plan, 'cover')?.reading;
    if (cover?.kind !== 'quantity' || !cover.limits) throw new Error('no limits');
    expect(limitsInLabels(plan, cover.limits)).toBe('Moisture of the core ± 2 %');
  });

  it('names a fastener by its step', () => {
    const engine = weighed(begun());
    for (const [id, value] of [
      ['logged', '212.4 kg'],
      ['plate', '212.4 kg'],
      ['again', '212 kg'],
    ] as const)
      engine.says('read', id, { value }).taken();
    engine.says('finish', 'log').taken();
    engine.says('tighten', 'bolts', { fastener: 1, torque: '195 in·lb' }).taken();
    expect(words(engine, 'bolts')).toEqual([
      { title: 'Bolts, fastener 1', what: '195 in·lb: too large, limit 190 in·lb', tries: [] },
    ]);
  });
});

describe('a value that a step asks to copy', () => {
  const copied = (engine: Engine, id: string): string | undefined => {
    const reading = readingOf(engine.job().plan, id)?.reading;
    const found = reading && toCopy(engine.job(), reading);
    return found && `${found.label}: ${found.text}`;
  };

  it('is a result, or the very value above, rounded as it is to be written; never another measurement', () => {
    const engine = weighed(begun());
    expect(copied(engine, 'logged')).toBe('Empty weight: 212.4 kg');
    expect(copied(engine, 'plate')).toBeUndefined();
    engine.says('read', 'logged', { value: '212.43 kg' }).taken();
    expect(copied(engine, 'plate')).toBe('Empty weight as written: 212.43 kg');
    expect(copied(engine, 'again')).toBeUndefined();
  });
});

describe('the list of what was entered', () => {
  it('is newest first, by labels, with what each entry means and what was struck of it', () => {
    const engine = begun();
    engine.says('read', 'moisture', { value: '22.1 %', position: 'forward' }).taken();
    const [wrong] = engine.job().log.slice(-1);
    engine.says('correct', wrong?.entry, { value: '12.1 %', reason: 'a slip' }).taken();
    engine.says('remark', 'the heater was off').taken();
    expect(entriesOf(engine.job()).map(({ what, verdict }) => [what, verdict])).toEqual([
      ['Remark: the heater was off', undefined],
      [expect.stringContaining('Correction'), undefined],
      ['Moisture, forward: 12.1 %', 'within'],
      ['Job started', undefined],
    ]);
    expect(entriesOf(engine.job())[2]?.struck).toEqual([{ value: '22.1 %', reason: 'a slip', by: 'ines' }]);
  });

  it('has a line for every entry of the job', () => {
    const engine = weighed(begun());
    const lines = entriesOf(engine.job());
    expect(lines.map(({ logged }) => logged.entry)).toEqual(
      engine
        .job()
        .log.map(({ entry }) => entry)
        .toReversed(),
    );
    for (const { what } of lines) expect(what).not.toMatch(/undefined|: $/);
  });
});

describe('a night that did not count', () => {
  it('is known by the temperature that ends it, and by no other', () => {
    const engine = weighed(begun());
    for (const [id, value] of [
      ['logged', '212.4 kg'],
      ['plate', '212.4 kg'],
      ['again', '212 kg'],
    ] as const)
      engine.says('read', id, { value }).taken();
    engine.says('finish', 'log').taken();
    for (const fastener of [1, 2]) engine.says('tighten', 'bolts', { fastener, torque: '170 in·lb' }).taken();
    engine.says('finish', 'bolts').taken();
    engine.says('lot', 'm', { number: 'L' }).taken();
    engine.says('mix', 'mix', { weights: { a: '100 g', b: '44 g' } }).taken();
    engine.says('temperature', '20 °C').taken();
    engine.says('finish', 'mix').taken();
    const at = (time: string, temperature: string): string[] => {
      engine.at(time).says('temperature', temperature).taken();
      const ms = Date.parse(time);
      const around = aroundOf(engine.state(), engine.job(), ms);
      return uncountedBetween(engine.job(), around, '', { from: ms - 1, to: ms }, ms).map(({ step, interval }) =>
        uncountedWhy(step, interval),
      );
    };
    expect(at('2026-03-02T19:00:00+01:00', '19 °C')).toEqual([]);
    expect(at('2026-03-03T06:00:00+01:00', '17 °C')).toEqual(['17 °C, below 18 °C']);
    expect(at('2026-03-03T10:00:00+01:00', '20 °C')).toEqual(['17 °C, below 18 °C']);
    expect(at('2026-03-03T23:00:00+01:00', '20 °C')).toEqual(['over 12 h without a temperature']);
    expect(at('2026-03-04T09:00:00+01:00', '20 °C')).toEqual([]);
  });
});
