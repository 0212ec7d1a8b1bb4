import { expect, test } from 'vitest';
import { procedureJsonSchema } from '../../src/procedure/json-schema.ts';

type Json = Readonly<Record<string, unknown>>;

const schema = procedureJsonSchema();
const at = (...path: readonly string[]): Json => path.reduce<Json>((node, key) => node[key] as Json, schema);

test('knows the keys of the head and of a step, and no others', () => {
  expect(schema.required).toEqual(['procedure', 'title', 'revision', 'steps']);
  expect(schema.additionalProperties).toBe(false);
  expect(Object.keys(at('properties'))).toContain('charts');
  const step = at('properties', 'steps', 'items');
  expect(step).toMatchObject({ required: ['step', 'title'], additionalProperties: false });
  expect(Object.keys(step.properties as Json)).toEqual(expect.arrayContaining(['in-pot-life-of', 'tighten', 'photo']));
});

test('takes values as an editor’s YAML reads them', () => {
  expect(at('properties', 'revision')).toMatchObject({ type: ['string', 'number', 'boolean'] });
  expect(at('properties', 'strict')).toMatchObject({ type: 'boolean' });
  expect(at('properties', 'people')).toMatchObject({ type: 'integer', minimum: 1 });
  expect(at('properties', 'strict')).not.toHaveProperty('enum');
});

test('is plain JSON', () => {
  expect(JSON.parse(JSON.stringify(schema))).toEqual(schema);
});
