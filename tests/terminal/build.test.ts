import { execFileSync } from 'node:child_process';
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildProgram } from '../../src/scripts/build.mjs';
import manifest from '../../package.json' with { type: 'json' };

const entry = `
const said = [/^[±–]$/v.test('±'), '漢', __VERSION__, process.env.NODE_ENV, import.meta.url === 'file://' + process.argv[1]];
const draw = async () => {
  const { EOL } = await import('node:os');
  const { letter } = await import('./other-part.ts');
  process.stdout.write([...said, letter].join(' ') + EOL + '\\u001b[?2026l');
  if (process.argv[2] !== 'status') process.stdin.resume();
};
void draw();
`;

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'build-'));
  await writeFile(join(folder, 'entry.ts'), entry);
  await writeFile(join(folder, 'other-part.ts'), "export const letter = 'ß';");
  await buildProgram(join(folder, 'entry.ts'), join(folder, 'dist'));
});
afterAll(() => rm(folder, { recursive: true }));

const expected = `true 漢 ${manifest.version} production true ß\n\u001b[?2026l`;
const run = (): string =>
  execFileSync(process.execPath, [join(folder, 'dist/dryfit.js'), 'status'], { encoding: 'utf8' });
const cachesOf = async (): Promise<readonly string[]> => {
  const names = (await readdir(join(folder, 'dist'))).filter((file) => file.endsWith('.cache'));
  expect(names).toHaveLength(2);
  return names.map((name) => join(folder, 'dist', name));
};

describe('the built program', () => {
  it('runs with its code cache, whatever alphabet it contains', async () => {
    const ask = `
      const { readFileSync } = require('node:fs');
      const [filename, cache] = process.argv.slice(1);
      const { Script } = require('node:vm');
      const script = new Script(readFileSync(filename, 'utf8'), { filename, cachedData: readFileSync(cache) });
      process.stdout.write(String(script.cachedDataRejected));`;
    for (const cache of await cachesOf()) {
      const filename = cache.replace(/cache$/, 'js');
      expect(execFileSync(process.execPath, ['-e', ask, filename, cache], { encoding: 'utf8' })).toBe('false');
    }
    expect(run()).toBe(expected);
  });

  it('is ASCII, which is read fastest', async () => {
    for (const cache of await cachesOf()) {
      const text = await readFile(cache.replace(/cache$/, 'js'), 'latin1');
      expect(/[^\x00-\x7f].*/.exec(text)?.[0]).toBeUndefined();
    }
  });

  it.each(['console.log(String.raw`é`);', 'console.log(/\\é/.test("é"));'])(
    'is not built where an escape would mean something else: %s',
    async (text) => {
      const other = join(folder, 'other.ts');
      await writeFile(other, text);
      await expect(buildProgram(other, join(folder, 'other'))).rejects.toThrow('an escape would mean something else');
    },
  );

  it('runs without a code cache, or with that of another node', async () => {
    for (const cache of await cachesOf()) {
      await writeFile(cache, 'not a cache');
      expect(run()).toBe(expected);
      await rm(cache);
      expect(run()).toBe(expected);
    }
  });

  it('leaves no files of an older build', async () => {
    await writeFile(join(folder, 'entry.ts'), `${entry}\nexport {};void 'newer';`);
    await buildProgram(join(folder, 'entry.ts'), join(folder, 'dist'));
    expect((await readdir(join(folder, 'dist'))).toSorted()).toEqual([
      'dryfit.js',
      'package.json',
      expect.stringMatching(/^program-[0-9a-f]{12}\.front\.cache$/),
      expect.stringMatching(/^program-[0-9a-f]{12}\.front\.js$/),
      expect.stringMatching(/^program-[0-9a-f]{12}\.rest\.cache$/),
      expect.stringMatching(/^program-[0-9a-f]{12}\.rest\.js$/),
      expect.stringMatching(/^program-[0-9a-f]{12}\.worker\.js$/),
    ]);
  });
});
