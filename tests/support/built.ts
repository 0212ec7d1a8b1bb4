import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll } from 'vitest';

/** The project's own folder. */
export const root = resolve(import.meta.dirname, '../..');

/** The built program, with a configuration and a cache of its own in a folder that goes when the tests of the file are over. */
export const builtProgram = (name: string) => {
  const folder = mkdtempSync(join(tmpdir(), `dryfit-${name}-`));
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  const dryfit = (...args: readonly string[]) =>
    spawnSync(process.execPath, [join(root, 'dist/dryfit.js'), ...args], {
      encoding: 'utf8',
      cwd: root,
      env: { ...process.env, XDG_CONFIG_HOME: join(folder, 'config'), XDG_CACHE_HOME: join(folder, 'cache') },
    });
  return { folder, dryfit };
};
