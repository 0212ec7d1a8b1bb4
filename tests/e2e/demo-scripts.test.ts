import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
const scripts = join(root, 'tests/scripts');
const folder = mkdtempSync(join(tmpdir(), 'dryfit-demos-'));

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const dryfit = (...args: readonly string[]) =>
  spawnSync(process.execPath, [join(root, 'dist/dryfit.js'), ...args], {
    encoding: 'utf8',
    cwd: root,
    env: { ...process.env, XDG_CONFIG_HOME: join(folder, 'config'), XDG_CACHE_HOME: join(folder, 'cache') },
  });

const textOf = (script: string): string => readFileSync(join(scripts, script), 'utf8');

/** Scripts that walk procedures of the demo. */
const walks = readdirSync(scripts).filter(
  (name) => name.endsWith('.yaml') && textOf(name).includes('\nprocedures: ../../procedures\n'),
);

/** The procedure, and the side, of every job that a script starts. */
const startsOf = (script: string): readonly string[] =>
  [...textOf(script).matchAll(/ start: ([a-z-]+)(?:, each: ([a-z-]+))? }/g)].map(([, procedure, side]) =>
    side === undefined ? procedure! : `${procedure!}-${side}`,
  );

describe.each(walks)('%s', (script) => {
  it('walks every job that it starts to a signed record, and the state proves it', () => {
    const state = join(folder, script);
    expect(dryfit('rehearse', join(scripts, script), '--state', state)).toMatchObject({ status: 0, stderr: '' });
    const jobs = readdirSync(join(state, 'records')).map((job) => job.replace(/-[0-9a-f]{6}$/, ''));
    expect(jobs.toSorted()).toEqual(startsOf(script).toSorted());
    expect(dryfit('verify', state).status).toBe(0);
  });
});

it('the sides of a twin are walked both', () => {
  expect(walks.flatMap(startsOf)).toEqual(expect.arrayContaining(['aileron-travel-left', 'aileron-travel-right']));
});
