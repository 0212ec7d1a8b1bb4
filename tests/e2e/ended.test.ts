import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openScreen } from '../support/screen.ts';

/* A bench closes its state when a signal ends it or when its terminal goes away. */

const root = resolve(import.meta.dirname, '../..');
const program = join(root, 'dist/dryfit.js');
const folder = mkdtempSync(join(tmpdir(), 'dryfit-ended-'));
const env = { ...process.env, HOME: folder, XDG_CONFIG_HOME: join(folder, 'c'), XDG_CACHE_HOME: join(folder, 'k') };
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = (state: string, ...args: readonly string[]) =>
  spawnSync(process.execPath, [program, ...args, '--state', state], { encoding: 'utf8', env });

const filesOf = (kind: string): number => readdirSync(join(folder, 'k/dryfit', kind), { recursive: true }).length;

describe('a bench that something else ends', () => {
  it.each(['SIGTERM', 'SIGHUP', 'the loss of its terminal'] as const)('leaves no lock behind after %s', async (way) => {
    const state = join(folder, way.replaceAll(' ', '-'));
    expect(run(state, 'person', 'add', 'ines').status).toBe(0);
    const screen = openScreen({ command: process.execPath, args: [program, '--state', state], env });
    await screen.see('ines');
    const locks = filesOf('locks');
    if (way === 'the loss of its terminal') screen.hangUp();
    else screen.kill(way);
    await screen.exit;
    await screen.close();
    expect(filesOf('locks')).toBeLessThan(locks);
    const after = run(state, 'do', '-', 'temperature', '19 °C', '--as', 'ines');
    expect(after).toMatchObject({ status: 0, stderr: '' });
  });
});
