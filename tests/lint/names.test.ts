import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

const exported = /^export (?:declare )?(?:const|let|function|class|interface|type|enum) (\w+)/gm;

/** The names that the files of a folder export, each with the files that define it. */
const definitionsIn = (files: readonly (readonly [string, string])[]): ReadonlyMap<string, readonly string[]> => {
  const found = new Map<string, string[]>();
  for (const [file, text] of files)
    for (const [, name = ''] of text.matchAll(exported)) found.set(name, [...(found.get(name) ?? []), file]);
  return found;
};

const twice = (files: readonly (readonly [string, string])[]): readonly string[] =>
  [...definitionsIn(files)]
    .filter(([, where]) => where.length > 1)
    .map(([name, where]) => `${name}: ${where.join(', ')}`);

const sources = (): readonly (readonly [string, string])[] =>
  readdirSync('src', { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => [name, readFileSync(join('src', name), 'utf8')] as const);

describe('exported names', () => {
  it('are defined once in the whole of src', () => {
    const files = sources();
    expect(definitionsIn(files).size).toBeGreaterThan(500);
    expect(twice(files)).toEqual([]);
  });

  it('that are defined twice are found', () => {
    const planted = ['export const same = 1;\n', 'export interface same {}\n'].map(
      (text, index) => [`${index}.ts`, text] as const,
    );
    expect(twice(planted)).toEqual(['same: 0.ts, 1.ts']);
  });
});
