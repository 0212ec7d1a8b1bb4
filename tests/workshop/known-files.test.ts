import { appendFileSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { realDisk } from '../../src/store/disk.ts';
import { keep, keptPath, readKept } from '../../src/store/opening-files.ts';
import { emptyBuild } from '../../src/aircraft/state.ts';
import type { OpenState } from '../../src/workshop/open-state.ts';
import { knownFiles } from '../../src/workshop/procedures/known-files.ts';
import { pagesIn } from '../../src/workshop/procedures/pages.ts';
import { passedOverIn } from '../../src/workshop/procedures/siblings.ts';
import { chance } from '../support/chance.ts';

/* What is kept of the procedures folder costs time where it is missing, and changes no answer. */

let root = '';
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'dryfit-known-'));
  mkdirSync(join(root, 'procedures'));
});
afterEach(() => rmSync(root, { recursive: true }));

const hour = 3_600_000;
const placeOf = (more: { readonly program?: string; readonly cache?: string; readonly wall?: () => number } = {}) => ({
  disk: realDisk,
  cache: join(root, 'cache'),
  procedures: join(root, 'procedures'),
  program: 'program-1',
  // An hour later, so that no file was changed just now.
  wall: () => Date.now() + hour,
  ...more,
});
const bare = () => {
  const { program: _, ...rest } = placeOf();
  return rest;
};
const text = (id: string, more = ''): string =>
  `procedure: ${id}\ntitle: T\nrevision: A\nsteps:\n  - { step: a, title: A, covers: [bay-${id}] }\n${more}`;
const write = (id: string, content = text(id)): void => writeFileSync(join(root, 'procedures', `${id}.yaml`), content);
const kept = (): string => keptPath(join(root, 'cache'), join(root, 'procedures'), 'procedures');

/** Changes what was kept, so that an answer shows where it comes from. */
const forge = (from: string, to: string): void => {
  const bytes = readKept(realDisk, kept());
  keep(realDisk, kept(), String(bytes).replaceAll(from, to));
};
const namesIn = (place = placeOf()): readonly string[] => knownFiles(place).flatMap(({ names }) => names);

describe('the second time', () => {
  beforeEach(() => {
    for (const id of ['a', 'b']) write(id);
    expect(namesIn()).toEqual(['bay-a', 'bay-b']);
    forge('bay-', 'kept-');
  });

  it('an untouched file is not read again', () => expect(namesIn()).toEqual(['kept-a', 'kept-b']));

  it('a file that was touched is read again, though its size and time are the same', () => {
    const path = join(root, 'procedures/a.yaml');
    const time = new Date(Date.now() - hour);
    utimesSync(path, time, time);
    expect(namesIn()).toEqual(['bay-a', 'kept-b']);
    writeFileSync(path, text('a').replace('title: T', 'title: U'));
    utimesSync(path, time, time);
    expect(namesIn()).toEqual(['bay-a', 'kept-b']);
  });

  it('a file that is gone is gone, and a new one is read', () => {
    rmSync(join(root, 'procedures/a.yaml'));
    write('c');
    expect(namesIn()).toEqual(['kept-b', 'bay-c']);
  });

  it('nothing is taken from another build of the program, nor where it was not built', () => {
    expect(knownFiles(bare()).flatMap(({ names }) => names)).toEqual(['bay-a', 'bay-b']);
    expect(namesIn(placeOf({ program: 'program-2' }))).toEqual(['bay-a', 'bay-b']);
  });

  it.each([
    ['cut short', () => writeFileSync(kept(), 'x')],
    ['with something behind it', () => appendFileSync(kept(), ' ')],
    ['of something else', () => keep(realDisk, kept(), '{"program":"program-1","files":7}')],
    ['that is not JSON', () => keep(realDisk, kept(), 'files')],
    ['that is gone', () => rmSync(join(root, 'cache'), { recursive: true })],
  ])('a cache %s costs time alone', (_, harm) => {
    harm();
    expect(namesIn()).toEqual(['bay-a', 'bay-b']);
  });
});

it('a cache folder that cannot be written costs time alone', () => {
  write('a');
  writeFileSync(join(root, 'file'), '');
  const place = placeOf({ cache: join(root, 'file') });
  expect(namesIn(place)).toEqual(['bay-a']);
  expect(namesIn(place)).toEqual(['bay-a']);
});

it('what was changed just now is not kept: it could change again within the same tick of the clock', () => {
  write('a');
  const place = placeOf({ wall: () => Date.now() });
  knownFiles(place);
  expect(readKept(realDisk, kept())).toBeUndefined();
});

it('a link is read each time', () => {
  writeFileSync(join(root, 'elsewhere'), text('a'));
  symlinkSync('../elsewhere', join(root, 'procedures/a.yaml'));
  expect(namesIn()).toEqual(['bay-a']);
  writeFileSync(join(root, 'elsewhere'), text('a').replace('bay-a', 'bay-x'));
  expect(namesIn()).toEqual(['bay-x']);
});

it('whatever happens to the files, the answer is the one without a cache', () => {
  const next = chance(7);
  const contents = (id: string): readonly string[] => [
    text(id),
    text(id, '  - { step: b, title: B, reaches: [x] }\n'),
    'a: [b\n',
    'script: s\n',
    '',
    text('other'),
    text(id).replace('revision', 'after: [a]\nrevision'),
  ];
  for (let round = 0; round < 60; round += 1) {
    const id = 'abcdef'[Math.floor(next() * 6)]!;
    const all = contents(id);
    if (next() < 0.2) rmSync(join(root, 'procedures', `${id}.yaml`), { force: true });
    else write(id, all[Math.floor(next() * all.length)]);
    expect(knownFiles(placeOf())).toEqual(knownFiles(bare()));
  }
});

it('the files that cannot be read are listed from the look that the entry has taken, and from one of their own where it took none', () => {
  write('a');
  write('b', 'procedure: b\nsteps: [');
  let looks = 0;
  const disk = {
    ...realDisk,
    look: (path: string) => ((looks += path.endsWith('.yaml') ? 1 : 0), realDisk.look(path)),
  };
  const openState = { place: { ...placeOf(), disk }, state: emptyBuild } as unknown as OpenState;
  const named = (): readonly string[] => passedOverIn(openState).map(({ file }) => file);
  const b = join(root, 'procedures/b.yaml');
  expect(named()).toEqual([b]);
  expect(looks).toBe(2);
  expect(pagesIn(openState)?.map(({ procedure }) => procedure)).toEqual(['a', 'b']);
  expect(looks).toBe(4);
  expect(named()).toEqual([b]);
  expect(looks).toBe(4);
});
