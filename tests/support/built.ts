import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll } from 'vitest';

/** The project's own folder. */
export const root = resolve(import.meta.dirname, '../..');

/** The built program, with its configuration and cache in a folder that is removed after the tests of the file. */
export const builtProgram = (name: string) => {
  const folder = mkdtempSync(join(tmpdir(), `dryfit-${name}-`));
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  const program = join(root, 'dist/dryfit.js');
  const env = { XDG_CONFIG_HOME: join(folder, 'config'), XDG_CACHE_HOME: join(folder, 'cache') };
  const dryfit = (...args: readonly string[]) =>
    spawnSync(process.execPath, [program, ...args], { encoding: 'utf8', cwd: root, env: { ...process.env, ...env } });
  return { folder, dryfit, program, env };
};
