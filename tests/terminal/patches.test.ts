import { execFileSync } from 'node:child_process';
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, type BuildOptions } from 'esbuild';
import stringWidth from 'string-width';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bundle } from '../../src/scripts/build.mjs';
import { patchPackages, plain } from '../../src/scripts/patches.mjs';
import { bundleUnpatched } from '../support/bundle.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'patches-'));
});
afterAll(() => rm(folder, { recursive: true }));

describe("the build's changes to its packages", () => {
  it('change nothing that is drawn', async () => {
    const entry = fileURLToPath(new URL('fixtures/frames.tsx', import.meta.url));
    const patched = join(folder, 'patched.cjs');
    const unpatched = join(folder, 'unpatched.mjs');
    await Promise.all([bundle(entry, patched), bundleUnpatched(entry, unpatched)]);
    const framesOf = (file: string): string[] => {
      const env = { ...process.env, FORCE_COLOR: '3', CI: 'false', NO_COLOR: '' };
      return JSON.parse(execFileSync(process.execPath, [file], { env, encoding: 'utf8' })) as string[];
    };
    const frames = framesOf(unpatched);
    expect(frames.length).toBeGreaterThan(90);
    expect(framesOf(patched)).toEqual(frames);
  });

  it.each([
    ['wrap-text.js', 'const other = 1;', 'the text to be patched is there 0 times'],
    ['newer.js', 'export {};', 'never bundled, so not patched: ink/build/reconciler.js'],
  ])('stops the build when a package has become another: %s', async (file, text, message) => {
    const place = join(folder, 'node_modules/ink/build', file);
    await mkdir(dirname(place), { recursive: true });
    await writeFile(place, text);
    const options: BuildOptions = {
      entryPoints: [place],
      bundle: true,
      write: false,
      metafile: true,
      logLevel: 'silent',
    };
    await expect(build({ ...options, plugins: [patchPackages] })).rejects.toThrow(message);
  });

  it('take only characters of one column for one column wide, alone and beside each other', () => {
    const characters = Array.from({ length: 0x10000 }, (_, code) => String.fromCharCode(code)).filter((character) =>
      new RegExp(`^[${plain}]$`).test(character),
    );
    expect(characters.length).toBeGreaterThan(1000);
    for (const character of characters) expect(stringWidth(character), JSON.stringify(character)).toBe(1);
    expect(Array.from(new Intl.Segmenter().segment(characters.join('')))).toHaveLength(characters.length);
    expect(stringWidth(characters.join(''))).toBe(characters.length);
  });
});
