import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { checkFolder } from '../../src/procedure/folder.ts';
import { readProcedure } from '../../src/procedure/load.ts';

const folder = new URL('../../procedures/', import.meta.url);
const names = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
const textOf = (name: string): string => readFileSync(new URL(name, folder), 'utf8');
const read = (name: string) => readProcedure(textOf(name), name, { name: name.replace(/\.yaml$/, '') });

test('the twelve whole procedures are there', () => {
  expect(names.toSorted()).toEqual(
    [
      'adhesive-coupons',
      'keel-scarf-bond',
      'close-hull-bottom',
      'hull-leak-test',
      'strut-bolts',
      'elevator-cable',
      'aileron-travel',
      'tank-outlet-elbow',
      'fuel-flow',
      'wing-fabric',
      'wheel-lever',
      'weigh-and-balance',
    ]
      .map((id) => `${id}.yaml`)
      .toSorted(),
  );
});

describe.each(names)('%s', (name) => {
  test('has no message, not even a warning', () => {
    expect(read(name).messages).toEqual([]);
  });

  test('begins by saying that no limit in it may be used on a real aircraft', () => {
    const header = textOf(name)
      .split('\n')
      .filter((line) => line.startsWith('#'))
      .join(' ');
    expect(header).toMatch(/No limit in this file may be used on a real aircraft/);
  });

  test('gives every limit its source', () => {
    for (const { readings, tighten, mix, cure } of read(name).procedure!.steps) {
      for (const reading of readings)
        if ('limits' in reading || reading.kind === 'choice') expect(reading.source, reading.reading).toBeTruthy();
      for (const part of [tighten, mix, cure]) expect(part === undefined || part.source !== undefined).toBe(true);
    }
  });

  test('never says approved, safe or the like', () => {
    expect(textOf(name)).not.toMatch(/\b(?:approved|airworthy|certified|safe|compliant)\b/i);
  });
});

test('together they leave nothing open', () => {
  const members = names.map((name) => {
    const { procedure, tree } = read(name);
    return { file: name, procedure: procedure!, tree: tree! };
  });
  const gates = ['hull-close', 'cover', 'first-start', 'first-water', 'first-flight'];
  expect(checkFolder(members, { gates })).toEqual([]);
});
