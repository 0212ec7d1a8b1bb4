import { readdirSync } from 'node:fs';
import stringWidth from 'string-width';
import { describe, expect, test } from 'vitest';
import { calcCommand } from '../../src/commands/calc.ts';
import { makePrinter } from '../../src/commands/print.ts';
import type { Host } from '../../src/commands/host.ts';
import { calculate, calculations } from '../../src/trade/calculations.ts';
import { machine } from '../support/command.ts';

interface Told {
  readonly calculation: string;
  readonly results: readonly { readonly name: string; readonly value: string; readonly unit: string }[];
  readonly source: string;
  readonly caution: string;
}

const here = machine();
const names = Object.keys(calculations);
const adapter = ['torque-with-adapter', 'torque=300 in·lb', 'wrench=10 in', 'adapter=4 in'];

const known = (name: string) => {
  const found = calculations[name];
  if (found === undefined) throw new Error(name);
  return found;
};

const exampleWords = (name: string): readonly string[] =>
  Object.entries(known(name).example).map(([key, value]) => `${key}=${value}`);

/** What the command says on a terminal of that width. */
const onTerminal = async (words: readonly string[], columns: number): Promise<readonly string[]> => {
  let out = '';
  const stdout = { write: (text: string) => void (out += text), isTTY: true, columns };
  const world = { streams: { stdout, stderr: stdout }, env: { variables: {} } } as unknown as Host;
  const nothing = { text: () => undefined, texts: () => [], flag: () => false };
  expect(await calcCommand.run({ words, host: world, print: makePrinter(world, false), ...nothing })).toBe(0);
  return out.trimEnd().split('\n');
};

describe('the list and the explanations', () => {
  test('the list names every calculation with its title', async () => {
    const { code, out, err } = await here.run(['calc']);
    expect([code, err]).toEqual([0, '']);
    for (const { name, title } of Object.values(calculations))
      expect(out.split('\n').filter((line) => line.startsWith(`  ${name} `) && line.endsWith(title))).toHaveLength(1);
    const told = (await here.run(['calc', '--json'])).json() as { calculations: { name: string }[] };
    expect(told.calculations.map(({ name }) => name)).toEqual(names);
  });

  test.each(names)('%s: prints inputs, source, range, caution and an example', async (name) => {
    const { code, out } = await here.run(['calc', name]);
    expect(code).toBe(0);
    const { title, inputs, source, range, caution } = known(name);
    for (const text of [title, source, range, caution, `dryfit calc ${name} `]) expect(out).toContain(text);
    for (const { name: input, required, about } of inputs) {
      const line = out.split('\n').find((one) => one.startsWith(`  ${input} `)) ?? '';
      expect(line).toContain(required ? ' required ' : ' optional ');
      expect(line).toContain(about);
    }
    expect((await here.run(['calc', name, '--json'])).json()).toMatchObject({ calculation: name, range });
  });

  test.each([40, 80])('fits a terminal of %i columns', async (columns) => {
    const calls = [[], ...names.flatMap((name) => [[name], [name, ...exampleWords(name)]])];
    for (const words of calls)
      for (const line of await onTerminal(words, columns))
        expect(stringWidth(line), `${words.join(' ')}: ${line}`).toBeLessThanOrEqual(columns);
  });
});

describe('a calculation', () => {
  test('prints the value in both systems, with working, source and caution', async () => {
    const { code, out, err } = await here.run(['calc', ...adapter]);
    expect([code, err]).toEqual([0, '']);
    // 300 × 10 / 14 = 214.2857…; 1 in·lb = 0.1129848 N·m (NIST SP 811, B.8)
    expect(out.split('\n')[0]).toBe('setting  214.286 in·lb (24.211 N·m), about 214 in·lb');
    expect(out).toContain('working  300 in·lb × 10 in / (10 in + 4 in) = 214.286 in·lb\n');
    expect(out).toContain(`source   ${known('torque-with-adapter').source}\n`);
    expect(out).toContain(`caution  ${known('torque-with-adapter').caution}\n`);
  });

  test('prints its data with --json', async () => {
    const told = (await here.run(['calc', ...adapter, '--json'])).json() as Told;
    expect(Object.keys(told)).toEqual(['calculation', 'results', 'source', 'caution']);
    expect(told.results.map(({ name, unit }) => [name, unit])).toEqual([['setting', 'in·lb']]);
    expect(Number(told.results[0]?.value)).toBeCloseTo(3000 / 14, 4);
  });

  test('prints a warning, also beside the data', async () => {
    const words = ['calc', 'pipe-thread', 'size=1/4', 'turns=2'];
    expect((await here.run(words)).out).toContain('\nwarning  The standard allows one turn large or small');
    const { json, err } = await here.run([...words, '--json']);
    expect(Object.keys(json() as Told)).toEqual(['calculation', 'results', 'source', 'caution']);
    expect(err).toMatch(/^warning: The standard allows/);
  });

  test.each(names)('%s: prints every result of its example, quoted or split by the shell', async (name) => {
    const words = exampleWords(name);
    const { code, out, err } = await here.run(['calc', name, ...words]);
    expect([code, err]).toEqual([0, '']);
    expect(out).not.toMatch(/NaN|Infinity|undefined|\[object/);
    const done = calculate(name, known(name).example);
    if (!done.ok) throw new Error(done.fault.what);
    const lines = out.split('\n');
    for (const [index, result] of done.value.results.entries())
      expect(lines[index]?.startsWith(`${result.name} `)).toBe(true);
    expect(lines).toContain(`working  ${done.value.working}`);
    const split = await here.run(['calc', name, ...words.flatMap((word) => word.split(' '))]);
    expect(split).toMatchObject({ code: 0, out });
  });

  test.each(names)('%s: prints data in their fixed shape', async (name) => {
    const told = (await here.run(['calc', name, ...exampleWords(name), '--json'])).json() as Told;
    const { source, caution } = known(name);
    expect(told).toEqual({ calculation: name, results: expect.any(Array) as unknown, source, caution });
    expect(told.results.length).toBeGreaterThan(0);
    for (const result of told.results) {
      expect(Object.keys(result)).toEqual(['name', 'value', 'unit']);
      expect(result.value).toMatch(/^-?\d+(\.\d+)?$/);
      const digits = result.value.replace(/^-?[0.]*|\./g, '').length;
      if (Number(result.value) !== 0) expect(digits, result.value).toBeGreaterThanOrEqual(6);
      expect(typeof result.unit).toBe('string');
    }
  });

  test('draws a cure time and a weight and balance, and puts them in words with --plain', async () => {
    for (const name of ['cure-time', 'weight-and-balance']) {
      const words = ['calc', name, ...exampleWords(name)];
      const plain = (await here.run(words)).out;
      expect(plain).toMatch(/\n +# \d/);
      expect(plain.replace(/[°·×Σ−’]/g, '')).toMatch(/^[\x20-\x7e\n]+$/);
      const fine = (await here.run(words, { variables: { LANG: 'C.UTF-8' } })).out;
      expect(fine).toMatch(/\n +● \d/);
      const said = (await here.run([...words, '--plain'])).out;
      expect(said).toMatch(/\nplot +(time|mass) against (temperature|arm): here /);
      expect(said).not.toContain('●');
    }
  });

  test('takes a negative value in a word of its own, and a list in repeated keys', async () => {
    const split = ['torque=300', 'in·lb', 'wrench=10', 'in', 'adapter=', '-4', 'in'];
    expect((await here.run(['calc', 'torque-with-adapter', ...split])).out).toMatch(/^setting +500 in·lb /);
    const sum = await here.run(['calc', 'sum', 'value=4 turns', 'value=2', 'turns', '--json']);
    expect((sum.json() as Told).results[0]).toEqual({ name: 'sum', value: '6.00000', unit: 'turns' });
  });
});

describe('a call that is wrong', () => {
  test.each([
    ['a name', ['torque-with-adaptor'], 2, /calculation-unknown.*write torque-with-adapter/],
    ['an input', [...adapter, 'wrensh=10 in'], 2, /input-unknown.*write wrench/],
    ['an input that is missing', adapter.slice(0, 2), 2, /^wrench: error input-missing/],
    ['a value of another kind', [...adapter.slice(0, 3), 'adapter=4 lb'], 2, /^adapter: error unit-dimension/],
    ['a value without a unit', [...adapter.slice(0, 3), 'adapter=4'], 2, /^adapter: error unit-missing/],
    ['the same input twice', [...adapter, 'wrench=9 in'], 2, /^wrench: error input-twice/],
    ['a word that belongs to nothing', ['sum', '300', 'in·lb'], 2, /word-unreadable.*write dryfit calc sum/],
    ['a name that every object has', ['constructor'], 2, /calculation-unknown/],
    ['an input that every object has', ['sum', '__proto__=1 mm'], 2, /input-unknown/],
    [
      'a value outside the range',
      [...adapter.slice(0, 2), 'wrench=0 in', 'adapter=4 in'],
      3,
      /^dryfit: refused out-of-range: the wrench has no length/,
    ],
  ] as const)('%s: exit code and what to do', async (_, words, exit, says) => {
    const { code, out, err } = await here.run(['calc', ...words]);
    expect(err).toMatch(says);
    expect([code, out]).toEqual([exit, '']);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
    const data = await here.run(['calc', ...words, '--json']);
    expect([data.code, data.err]).toEqual([exit, err]);
    expect(data.json()).toMatchObject({ fault: { kind: exit === 3 ? 'refused' : 'usage' } });
  });

  test('needs, opens and makes no state', async () => {
    const alone = machine();
    const state = alone.file('no-folder', 'not a state');
    expect((await alone.run(['calc', ...adapter, '--state', state])).code).toBe(0);
    expect(readdirSync(alone.folder)).toEqual(['no-folder']);
  });
});
