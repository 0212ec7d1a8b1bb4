import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { examples, unmark } from './examples.ts';

/** Files to damage: one with every key, and small ones with one fault each. */
export const seeds: readonly string[] = [
  readFileSync(new URL('every-key.yaml', import.meta.url), 'utf8'),
  ...examples.flatMap(({ bad, good }) => [unmark(bad).text, good]).filter((text) => text.length < 2000),
];

/** What is put in: signs of YAML and of dryfit's own grammars, and what an attacker might write. */
const pieces = [
  ...'{}[],:#&*!|>%@`?-\'"\\ \n\t\r\0\u001b\u202e\ufeff\ud800é±°·½',
  ': ',
  '- ',
  ' #',
  '\n  ',
  '\n---\n',
  '<<: *a',
  '!!binary ',
  '&a ',
  '%YAML 1.1\n',
  '|+2\n',
  '"\\u0000"',
  '[[[[[[[[',
  '{a: {a: {a: ',
  '__proto__: ',
  'constructor: ',
  'true',
  'null',
  '~',
  '0',
  '-1',
  '1e999',
  '999999999999999999999',
  '1,234',
  '0,5',
  'at most ',
  '± 0.1 mm',
  '5 to 3 mm',
  '<each>',
  'a/b',
  'mm',
  '°C',
  'steps',
  'readings: ',
  'step: a',
];

const mutate = (text: string, [kind, at, length, piece]: readonly [number, number, number, string]): string => {
  const from = Math.floor(at * text.length);
  const lines = text.split('\n');
  const line = Math.floor(at * lines.length);
  switch (kind) {
    case 0:
      return text.slice(0, from) + text.slice(from + length);
    case 1:
      return text.slice(0, from) + piece + text.slice(from);
    case 2:
      return text.slice(0, from) + piece + text.slice(from + piece.length);
    case 3:
      return [...lines.slice(0, line), lines[line]!, ...lines.slice(line)].join('\n');
    case 4:
      return lines.toSpliced(line, 1).join('\n');
    case 5:
      return lines.with(line, ' '.repeat(length % 5) + lines[line]!.trimStart()).join('\n');
    default:
      return text.slice(0, from);
  }
};

const mutation = fc.tuple(
  fc.nat({ max: 6 }),
  fc.double({ min: 0, max: 0.999_999, noNaN: true }),
  fc.integer({ min: 1, max: 12 }),
  fc.oneof(fc.constantFrom(...pieces), fc.string({ maxLength: 6 })),
);

/** A damaged file. */
export const mutated: fc.Arbitrary<string> = fc
  .tuple(fc.constantFrom(...seeds), fc.array(mutation, { minLength: 1, maxLength: 5 }))
  .map(([seed, mutations]) => mutations.reduce(mutate, seed));
