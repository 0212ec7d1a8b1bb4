import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { procedureJsonSchema } from '../../src/procedure/json-schema.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import { examples, unmark } from './examples.ts';
import { seeds } from './mutation.ts';

type Json = Readonly<Record<string, unknown>>;

const schema = procedureJsonSchema();
const at = (...path: readonly string[]): Json => path.reduce<Json>((node, key) => node[key] as Json, schema);

/** An independent validator, for files as a YAML editor reads them. */
const isValid = new Ajv2020({ strict: true, allowUnionTypes: true, allErrors: true }).compile(schema);
const faults = (text: string): readonly string[] =>
  isValid(parse(text)) ? [] : (isValid.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);

test('knows the keys of the head and of a step, and no others', () => {
  expect(schema.required).toEqual(['procedure', 'title', 'revision', 'steps']);
  expect(schema.additionalProperties).toBe(false);
  expect(Object.keys(at('properties'))).toContain('charts');
  const step = at('properties', 'steps', 'items');
  expect(step).toMatchObject({ required: ['step', 'title'], additionalProperties: false });
  expect(Object.keys(step.properties as Json)).toEqual(expect.arrayContaining(['in-pot-life-of', 'tighten', 'photo']));
});

test('allows the types that a YAML editor gives to values', () => {
  expect(at('properties', 'revision')).toMatchObject({ type: ['string', 'number', 'boolean'] });
  expect(at('properties', 'takes')).toMatchObject({ type: 'string' });
  expect(at('properties', 'people')).toMatchObject({ type: ['integer', 'string'], minimum: 1 });
  expect(at('properties', 'strict')).not.toHaveProperty('enum');
});

test('is plain JSON, with a description at every key', () => {
  expect(JSON.parse(JSON.stringify(schema))).toEqual(schema);
  const wordless = (node: Json, path: string): string[] => [
    ...Object.entries((node.properties ?? {}) as Json).flatMap(([key, inner]) => [
      ...(typeof (inner as Json).description === 'string' ? [] : [`${path}.${key}`]),
      ...wordless(inner as Json, `${path}.${key}`),
    ]),
    ...[...((node.anyOf ?? []) as Json[]), ...(node.items === undefined ? [] : [node.items as Json])].flatMap((inner) =>
      wordless(inner, path),
    ),
  ];
  expect(wordless(schema, '')).toEqual([]);
});

const folder = new URL('../../procedures/', import.meta.url);

describe.each(readdirSync(folder).filter((name) => name.endsWith('.yaml')))('%s', (name) => {
  test('is valid', () => {
    expect(faults(readFileSync(new URL(name, folder), 'utf8'))).toEqual([]);
  });

  test('names the schema on its first line, for editors', () => {
    const [first] = readFileSync(new URL(name, folder), 'utf8').split('\n');
    expect(first, 'npm run schema writes it').toBe('# yaml-language-server: $schema=schema/procedure.schema.json');
  });
});

test('the schema beside the procedures is the one that dryfit prints', () => {
  const file = readFileSync(new URL('schema/procedure.schema.json', folder), 'utf8');
  expect(file, 'npm run schema writes it').toBe(`${JSON.stringify(schema, undefined, 2)}\n`);
});

test('the file with every key is valid', () => {
  expect(faults(readFileSync(new URL('every-key.yaml', import.meta.url), 'utf8'))).toEqual([]);
});

test.each(examples)('the mended example of $code is valid', ({ good }) => {
  expect(faults(good)).toEqual([]);
});

const shapes = ['unknown-key', 'missing-key', 'wrong-kind', 'unknown-calculation', 'empty-value'];

test.each(examples.filter(({ code }) => shapes.includes(code)))(
  'the broken example of $code is not valid',
  ({ bad }) => {
    expect(faults(unmark(bad).text)).not.toEqual([]);
  },
);

test('a bare number is never a quantity', () => {
  const text = (takes: string): string =>
    `procedure: a\ntitle: A\nrevision: 1\ntakes: ${takes}\nsteps: [{ step: a, title: 2 }]\n`;
  expect(faults(text('3 h'))).toEqual([]);
  expect(faults(text('3'))).toEqual(['/takes must be string']);
});

const hasNull = (value: unknown): boolean =>
  value === null || (typeof value === 'object' && Object.values(value).some(hasNull));

/** A sound file in which one value has become something that YAML programs do not read as text. */
const revalued = fc
  .tuple(
    fc.constantFrom(...seeds),
    fc.double({ min: 0, max: 0.999_999, noNaN: true }),
    fc.constantFrom(
      'true',
      '2',
      '"2"',
      "'true'",
      '007',
      '1e3',
      '0x1f',

      '5.10',
      'yes',
      'null',
      '[2]',
      '2026-03-01',
    ),
  )
  .map(([text, at, value]) => {
    const values = [...text.matchAll(/(?<=: )[^,{}[\]\n]+/g)];
    const { index, 0: old } = values[Math.floor(at * values.length)] ?? { index: 0, 0: '' };
    return text.slice(0, index) + value + text.slice(index + old.length);
  });

test('whatever check takes is valid, but for text that YAML reads as nothing or infinity', () => {
  let taken = 0;
  fc.assert(
    fc.property(revalued, (text) => {
      if (readProcedure(text, 'f').procedure === undefined) return;
      const value: unknown = parse(text);
      if (hasNull(value)) return;
      taken += 1;
      expect(isValid(value), JSON.stringify(isValid.errors)).toBe(true);
    }),
    { numRuns: 1000 },
  );
  expect(taken).toBeGreaterThan(100);
});
