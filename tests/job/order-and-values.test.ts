import { describe, expect, it } from 'vitest';
import { currentStep } from '../../src/job/where.ts';
import { engineWith } from '../support/engine.ts';
import { bond, small } from './fixtures.ts';

const started = (yaml = bond, name = 'bond') => {
  const engine = engineWith([yaml]);
  engine.says('start', name).taken();
  return engine;
};

describe('steps in order', () => {
  it('begins the next step with its first entry, and refuses a later one', () => {
    const engine = started();
    engine.says('finish', 'dry-fit').refused('out-of-order');
    engine.says('begin', 'dry-fit').refused('out-of-order');
    engine.says('read', 'gap', { value: '0.15 mm' }).taken();
    expect(engine.job().steps['measure']?.begun?.explicit).toBe(false);
  });

  it('finishes a step only when it has all its parts', () => {
    const engine = started();
    engine.says('finish', 'measure').refused('part-missing');
    engine.says('read', 'gap', { value: '0.15 mm' }).taken();
    engine.says('finish', 'measure').refused('part-missing');
    engine.says('read', 'width', { value: '12.5 mm' }).taken();
    engine.says('finish', 'measure').taken();
    engine.says('finish', 'measure').refused('out-of-order');
  });

  it('reports unknown ids and unreadable values as usage faults, not as refusals', () => {
    const engine = started();
    engine.says('finish', 'measur').wrong('unknown-id');
    engine.says('read', 'gab', { value: '1 mm' }).wrong('unknown-id');
    engine.says('read', 'gap', { value: 'wide' }).wrong();
    engine.says('read', 'gap', { value: '3 kg' }).wrong();
    engine.says('read', 'gap').wrong('field-missing');
    engine.says('read', 'gap', { value: '1 mm', wher: 'x' }).wrong('field-unknown');
    engine.as('nobody').says('read', 'gap', { value: '1 mm' }).wrong('unknown-id');
  });
});

describe('readings and tries', () => {
  it('compares exactly, limits included, in whatever unit', () => {
    const yaml = small(`
  - step: one
    title: One
    readings:
      - { reading: a, unit: mm, limits: 12.5 ± 0.1 mm, source: x }
      - { reading: b, unit: mm, limits: at most 12.7 mm, source: x }
      - { reading: c, unit: mm, limits: less than 5 mm, source: x }
`);
    const engine = started(yaml, 'small');
    expect(engine.says('read', 'a', { value: '12.6 mm' }).taken().verdict).toBe('within');
    expect(engine.says('read', 'b', { value: '0.5 in' }).taken().verdict).toBe('within');
    expect(engine.says('read', 'c', { value: '5' }).taken().verdict).toBe('outside');
    expect(engine.says('read', 'a', { value: '12,6001', reason: 'again' }).taken().verdict).toBe('outside');
  });

  it('asks for a reason for another try, also for repeating a value already within', () => {
    const engine = started();
    expect(engine.says('read', 'gap', { value: '0.3 mm' }).taken().verdict).toBe('outside');
    engine.says('read', 'gap', { value: '0.1 mm' }).refused('reason-missing');
    expect(engine.says('read', 'gap', { value: '0.1 mm', reason: 'edge dressed' }).taken().verdict).toBe('within');
    engine.says('read', 'gap', { value: '0.1 mm' }).refused('reason-missing');
    expect(engine.job().tries['gap']?.map((taken) => [taken.number, taken.value])).toEqual([
      [1, '0.3 mm'],
      [2, '0.1 mm'],
    ]);
  });

  it('needs no disposition where a try within follows one outside', () => {
    const engine = started();
    engine.says('read', 'gap', { value: '0.3 mm' }).taken();
    engine.says('read', 'width', { value: '12.5 mm' }).taken();
    engine.says('finish', 'measure').refused('outside');
    engine.says('read', 'gap', { value: '0.2 mm', reason: 'edge dressed' }).taken();
    engine.says('finish', 'measure').taken();
  });

  it('counts tries, and a correction does not give another one', () => {
    const engine = started();
    engine.says('read', 'width', { value: '13 mm' }).taken();
    engine.says('correct', 'width', { value: '12.9 mm', reason: 'typing slip' }).taken();
    engine.says('read', 'width', { value: '13.1 mm', reason: 'again' }).taken();
    engine.says('read', 'width', { value: '12.5 mm', reason: 'once more' }).refused('tries-used');
    engine.says('read', 'gap', { value: '0.1 mm' }).taken();
    engine.says('finish', 'measure').refused('outside');
    engine.says('dispose', 'width', { 'as-what': 'use-as-is', reason: 'fits' }).refused('power');
    engine.says('dispose', 'width', { 'as-what': 'use-as-is', reason: 'fits', 'accepted-by': 'ines' }).refused('power');
    const accepted = engine
      .says('dispose', 'width', { 'as-what': 'use-as-is', reason: 'fits', 'accepted-by': 'quillon' })
      .taken();
    expect(accepted.also).toEqual(['quillon']);
    engine.says('finish', 'measure').taken();
  });

  it('starts a fresh count of tries after rework', () => {
    const engine = started();
    engine.says('read', 'width', { value: '13 mm' }).taken();
    engine.says('read', 'width', { value: '13 mm', reason: 'again' }).taken();
    engine.says('dispose', 'width', { 'as-what': 'rework', reason: 'plane it' }).taken();
    expect(engine.says('read', 'width', { value: '12.5 mm' }).taken().verdict).toBe('within');
    expect(engine.job().tries['width']).toHaveLength(3);
  });

  it('strikes the old value in a correction, and keeps it with its time and person', () => {
    const engine = started();
    engine.says('read', 'gap', { value: '1.98' }).taken();
    engine.at('+1h').says('correct', 'gap', { value: '0.198', reason: 'point forgotten' }).taken();
    const [taken] = engine.job().tries['gap'] ?? [];
    expect(taken?.value).toBe('0.198');
    expect(engine.job()).toMatchObject({ struck: [{ value: '1.98', reason: 'point forgotten', by: 'ines' }] });
  });

  it('opens a finished step again when a correction puts its value outside', () => {
    const engine = started();
    engine.says('read', 'gap', { value: '0.1' }).taken();
    engine.says('read', 'width', { value: '12.5' }).taken();
    engine.says('finish', 'measure').taken();
    expect(engine.says('correct', 'gap', { value: '0.3', reason: 'read again' }).taken().verdict).toBe('outside');
    expect(currentStep(engine.job())?.step).toBe('measure');
    engine.says('finish', 'dry-fit').refused('out-of-order');
    engine.says('read', 'gap', { value: '0.1', reason: 'dressed' }).taken();
    engine.says('finish', 'measure').taken();
    expect(currentStep(engine.job())?.step).toBe('dry-fit');
  });
});

describe('positions, times, counts, choices, only-if', () => {
  const yaml = small(`
  - step: one
    title: One
    readings:
      - { reading: gap, unit: mm, positions: [root, tip], limits: at most 1 mm, source: x }
      - { reading: pull, unit: N, times: 3, source: x }
      - { reading: plugs, count: true, limits: at least 9, source: x }
      - { reading: face, choices: [clean, dull], accept: [clean] }
      - { reading: seen, text: true }
  - step: shim
    title: Shim it
    only-if: { reading: gap, is: more than 0.5 mm }
  - step: last
    title: Last
`);
  const filled = () => {
    const engine = started(yaml, 'small');
    for (const value of ['0.2', '0.3']) engine.says('read', 'gap', { value }).taken();
    for (const value of ['10', '11', '12']) engine.says('read', 'pull', { value }).taken();
    engine.says('read', 'plugs', { value: '9' }).taken();
    expect(engine.says('read', 'face', { value: 'clean' }).taken().verdict).toBe('within');
    engine.says('finish', 'one').refused('part-missing');
    engine.says('read', 'seen', { value: 'nothing odd' }).taken();
    return engine;
  };

  it('fills positions and times in order', () => {
    const engine = filled();
    expect(engine.job().tries['gap']?.map((taken) => taken.position)).toEqual(['root', 'tip']);
    expect(engine.job().tries['pull']?.map((taken) => taken.n)).toEqual([1, 2, 3]);
    engine.says('read', 'pull', { value: '13' }).wrong('field-missing');
    engine.says('read', 'pull', { value: '13', n: 2 }).refused('reason-missing');
    engine.says('read', 'gap', { value: '13', position: 'middle' }).wrong('unknown-id');
    engine.says('read', 'plugs', { value: 'nine' }).wrong();
    engine.says('read', 'face', { value: 'shiny' }).wrong();
  });

  it('decides `only-if` again when its reading is corrected', () => {
    const engine = filled();
    engine.says('finish', 'one').taken();
    expect(currentStep(engine.job())?.step).toBe('last');
    engine.says('correct', 'gap', { position: 'root', value: '0.8', reason: 'misread' }).taken();
    expect(currentStep(engine.job())?.step).toBe('shim');
  });
});
