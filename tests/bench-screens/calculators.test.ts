import { describe, expect, test } from 'vitest';
import { jobOf } from '../../src/aircraft/state.ts';
import { latestTry } from '../../src/job/values.ts';
import { printBoth } from '../../src/quantity/quantity.ts';
import { calculate, calculations } from '../../src/trade/calculations.ts';
import { calculationsFor } from '../../src/trade/gives.ts';
import type { Fake } from './fake.ts';
import { started, trialBench } from './scenes.ts';

const verbs = (fake: Fake): readonly string[] => fake.acts.map(({ verb }) => verb);
const page = (fake: Fake): string => fake.bench.session().pages.at(-1)?.page ?? '';

describe('the calculators', () => {
  const opened = (): Fake => started().press(' ', '4', '4');
  const rivet = (): Fake => opened().press('1', '0.02', 'enter', '0.08', 'enter');

  test('opened at a question, list first what gives its kind of value, and enter their result there', () => {
    const fake = opened();
    expect(fake.text()).toContain('first what gives');
    fake.press('1', '0.02', 'enter', '0.08', 'enter');
    expect(fake.text()).toContain('0.14 mm');
    expect(verbs(fake)).toEqual(['start']);
    fake.press('enter');
    expect(page(fake)).toBe('walk');
    expect(fake.text()).toContain('calculated by rivet-length from grip 0.02');
    expect(verbs(fake)).toEqual(['start']);
    fake.press('enter');
    expect(fake.acts.at(-1)?.data).toMatchObject({
      reading: 'gap',
      position: 'root',
      value: '0.14 mm',
      calculated: { calculation: 'rivet-length', with: { grip: '0.02 mm', diameter: '0.08 mm' } },
    });
    expect(fake.text()).toContain('calculated');
    const taken = jobOf(fake.build(), fake.build().jobOrder.at(-1) ?? '');
    expect(taken && latestTry(taken, 'gap', { n: 1, position: 'root' })?.calculated?.calculation).toBe('rivet-length');
  });

  test('one that gives either of two kinds, as the travel of a surface does, comes first for both', () => {
    expect(calculationsFor('angle')[0]?.name).toBe('travel');
    expect(calculationsFor('length').findIndex(({ name }) => name === 'travel')).toBeLessThan(
      calculationsFor('length').findIndex(({ name }) => name === 'sum'),
    );
  });

  test('a digit enters another result of the same kind', () => {
    const fake = rivet().press('2', 'enter');
    expect(fake.acts.at(-1)?.data).toMatchObject({ calculated: { result: 'next-sixteenth' }, value: '1.5875 mm' });
  });

  test('a calculated value that is typed over counts as typed', () => {
    const fake = rivet().press('enter', 'ctrl-u', '0.14', 'enter');
    expect(fake.acts.at(-1)?.data).toEqual({ reading: 'gap', position: 'root', value: '0.14 mm' });
  });

  test('report a wrong input at once, and keep what was typed', () => {
    const fake = opened().press('1', '3 N', 'enter');
    expect(fake.text()).toContain('is a force, but a length is asked for');
    expect(fake.text()).toContain('3   N');
    fake.press('ctrl-u', '0', 'enter', '0.08', 'enter');
    expect(fake.text()).toContain('grip is 0 mm, not above zero');
    while (page(fake) !== 'walk') fake.press('escape');
    expect(page(fake)).toBe('walk');
    expect(verbs(fake)).toEqual(['start']);
  });

  test('enter no result when a finger bounces on enter', () => {
    const fake = opened().press('1', '0.02', 'enter', '0.08').burst('enter', 'enter', 'enter');
    expect(page(fake)).toBe('calculator');
    expect(fake.text()).toContain('hand it back');
  });

  test('give a value for another try, from its own form', () => {
    const fake = started().press('0.2', 'enter', '1', ' ');
    expect(page(fake)).toBe('calculators');
    fake.press('1', '0.02', 'enter', '0.08', 'enter', 'enter', 'enter', 'typed in the wrong column', 'enter');
    expect(fake.acts.at(-1)?.data).toMatchObject({
      value: '0.14 mm',
      reason: 'typed in the wrong column',
      calculated: { calculation: 'rivet-length' },
    });
  });

  test('only show their result where no number is asked for', () => {
    const fake = trialBench().press(' ');
    const digit = /(\d) calculate/.exec(fake.text())?.[1] ?? '';
    fake.press(digit, '1', '0.02 mm', 'enter', '0.08 mm', 'enter');
    expect(fake.text()).toContain('0.14 mm');
    fake.press('enter', 'escape', 'escape', 'escape');
    expect(page(fake)).toBe('jobs');
    expect(fake.acts).toEqual([]);
  });

  test('do not ask for an input that another answer excludes, and go back to that answer', () => {
    const fake = opened().press('6', '300', 'enter', '25', 'enter');
    expect(fake.text()).toContain('hand it back');
    expect(fake.text()).toContain('chord 129.8637684 mm');
    fake.press('escape');
    expect(fake.text()).toContain('2 5');
    fake.press('ctrl-u', 'enter', '129.9', 'enter');
    expect(fake.resize(80, 24).text()).toContain('25.00');
    fake.press('escape', 'escape', '24', 'enter');
    expect(fake.text()).toContain('hand it back');
  });

  test('every calculation is asked input by input, and gives what its example gives', () => {
    for (const [index, calculation] of Object.values(calculations).entries()) {
      const fake = trialBench({ size: { columns: 120, rows: 60 } }).press(' ');
      const digit = /(\d) calculate/.exec(fake.text())?.[1] ?? '';
      fake.press(digit, ...Array<string>(index).fill('down'), 'enter');
      const shut = new Set<string>();
      for (const spec of calculation.inputs.filter(({ insteadOf }) => insteadOf === undefined)) {
        if (spec.oneOf !== undefined && shut.has(spec.oneOf)) continue;
        if (spec.oneOf !== undefined && calculation.example[spec.name] !== undefined) shut.add(spec.oneOf);
        const given = Object.entries(calculation.example).filter(([key]) =>
          spec.many ? key.replace(/-?\d+$/, '') === spec.name : key === spec.name,
        );
        const values = given.flatMap(([, value]) => (spec.many || spec.list ? value.split('; ') : [value]));
        const choices = [...(spec.choices ?? []), ...(spec.required ? [] : [''])];
        if (spec.choices) fake.press(String(choices.indexOf(values[0] ?? '') + 1), 'enter');
        else fake.press(...values.flatMap((value) => [value, 'enter']));
        if (!spec.choices && (values.length === 0 || spec.many || spec.list)) fake.press('enter');
      }
      const done = calculate(calculation.name, calculation.example);
      const [first] = done.ok ? done.value.results : [];
      expect(fake.text().replace(/\s+/g, ' '), calculation.name).toContain(first ? printBoth(first.quantity) : '?');
    }
  });
});
