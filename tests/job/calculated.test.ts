import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { engineWith } from '../support/engine.ts';
import { small } from './fixtures.ts';

const yaml = small(`
  - step: one
    title: One
    readings:
      - { reading: shank, unit: mm, limits: at most 8 mm, source: x }
      - { reading: width, unit: mm, limits: at most 12.5 mm, source: x }
      - { reading: holes, count: true, limits: at least 3 }
      - { reading: seen, text: true }
    results:
      - { result: left-over, calculation: difference, from: { first: width, second: shank }, source: x }
`);

const started = () => {
  const engine = engineWith([yaml]);
  engine.says('start', 'small').taken();
  return engine;
};

const rivet = { calculation: 'rivet-length', with: { grip: '0.125 in', diameter: '1/8 in' } };
const sum = (...values: readonly string[]) => ({
  calculation: 'sum',
  with: Object.fromEntries(values.map((value, index) => [`value${index + 1}`, value])),
});

describe('a calculated value', () => {
  it('is kept with its calculation, in whatever unit it is entered', () => {
    const engine = started();
    // L = 1.5 D + G: Navy training manual 14018, fig 13-43; 0.3125 in is 7.9375 mm exactly.
    expect(engine.says('read', 'shank', { value: '7.9375 mm', calculated: rivet }).taken().verdict).toBe('within');
    expect(engine.job().tries['shank']?.at(-1)).toMatchObject({ value: '7.9375 mm', calculated: rivet });
    engine.says('read', 'shank', { value: '5/16 in', calculated: rivet, reason: 'again' }).taken();
  });

  it('takes its inputs one by one, as the command line writes them', () => {
    const engine = started();
    const flat = { calculation: 'rivet-length', 'with.grip': '0.125 in', 'with.diameter': '1/8 in' };
    expect(engine.says('read', 'shank', { value: '7.9375 mm', calculated: flat }).taken().data).toMatchObject({
      calculated: rivet,
    });
  });

  it('is refused where it differs from what the calculation gives', () => {
    const engine = started();
    const fault = engine.says('read', 'shank', { value: '7.9 mm', calculated: rivet }).wrong('calculated-differs');
    expect(fault.what).toContain('rivet-length gives 7.9375 mm, not 7.9 mm');
    engine.says('read', 'shank', { value: '7.94 mm', calculated: rivet }).wrong('calculated-differs');
    engine.says('read', 'shank', { value: '7.9375 mm', calculated: sum('7.9375 N') }).wrong('calculated-differs');
    engine.says('read', 'seen', { value: '7.9375 mm', calculated: rivet }).wrong('calculated-differs');
    engine.says('read', 'shank', { value: '1 mm', calculated: { ...rivet, result: 'length' } }).wrong();
    engine
      .says('read', 'shank', { value: '1 mm', calculated: { ...rivet, result: 'lenth' } })
      .wrong('value-unreadable');
    engine.says('read', 'shank', { value: '1 mm', calculated: { calculation: 'guess', with: {} } }).wrong();
    engine.says('read', 'shank', { value: '1 mm', calculated: 'rivet-length' }).wrong('value-unreadable');
    engine.says('read', 'shank', { value: '1 mm', calculated: { ...rivet, grip: '1 mm' } }).wrong('value-unreadable');
    expect(engine.job().tries['shank']).toBeUndefined();
  });

  it('outside the range of its calculation is a usage fault, because no rule of the job refuses it', () => {
    const engine = started();
    const negative = { calculation: 'rivet-length', with: { grip: '1 mm', diameter: '-1 mm' } };
    engine.says('read', 'shank', { value: '1 mm', calculated: negative }).wrong('out-of-range');
  });

  it('has the error bound of a calculated result: undecided on a limit where a typed value is within', () => {
    const engine = started();
    engine.says('read', 'shank', { value: '7 mm' }).taken();
    const verdicts = [
      engine.says('read', 'width', { value: '12.5 mm', calculated: sum('12 mm', '0.5 mm') }).taken().verdict,
      engine.says('read', 'width', { value: '12.5 mm', reason: 'with the caliper' }).taken().verdict,
      engine.says('read', 'width', { value: '12.4 mm', calculated: sum('12.4 mm'), reason: 'x' }).taken().verdict,
      engine.says('read', 'width', { value: '12.6 mm', calculated: sum('12.6 mm'), reason: 'x' }).taken().verdict,
    ];
    expect(verdicts).toEqual(['undecided', 'within', 'within', 'outside']);
  });

  it('may be a count, where the reading is a count', () => {
    const engine = started();
    engine.says('read', 'holes', { value: '4', calculated: sum('1 count', '3 count') }).taken();
    engine.says('read', 'holes', { value: '5', calculated: sum('1 count', '3 count'), reason: 'x' }).wrong();
  });

  it('becomes a typed value once corrected; the struck one keeps its calculation', () => {
    const engine = started();
    engine.says('read', 'shank', { value: '7.9375 mm', calculated: rivet }).taken();
    engine.says('correct', 'shank', { value: '7.5 mm', reason: 'slipped' }).taken();
    const taken = engine.job().tries['shank']?.at(-1);
    expect(taken?.calculated).toBeUndefined();
    expect(engine.job().struck).toMatchObject([{ value: '7.9375 mm', calculated: rivet }]);
  });

  it('is never rounded into its limits, because the digits left out are within the error bound', () => {
    const engine = started();
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 99 }), fc.integer({ min: 1, max: 99 }), (sevenths, thirds) => {
        const inputs = sum(`${sevenths}/7 mm`, `${thirds}/3 mm`);
        const fault = engine.says('read', 'shank', { value: '-1 mm', calculated: inputs }).wrong('calculated-differs');
        const value = fault.todo.replace(/^enter (.*?);.*/, '$1');
        const exact = sevenths * 3 + thirds * 7; // in 1/21 mm
        const verdict = engine.says('read', 'shank', { value, calculated: inputs, reason: 'again' }).taken().verdict;
        expect(verdict).toBe(exact < 168 ? 'within' : exact === 168 ? 'undecided' : 'outside');
      }),
      { numRuns: 200 },
    );
  });
});
