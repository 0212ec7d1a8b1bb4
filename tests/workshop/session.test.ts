import { spawn, spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { realDisk } from '../../src/store/disk.ts';
import { keyring } from '../../src/workshop/keys/keyring.ts';
import type { Workplace } from '../../src/workshop/place.ts';
import { openWorkshop } from '../../src/workshop/workshop.ts';
import { fixture, machine, projectFolder } from '../support/command.ts';

/* The built program as a process of its own, for what only a process can show. */

const folder = mkdtempSync(join(tmpdir(), 'dryfit-built-'));
const program = join(folder, 'dist/dryfit.js');
const env = { PATH: process.env['PATH'], HOME: join(folder, 'home'), TZ: 'UTC' };
const run = (...argv: readonly string[]) =>
  spawnSync(process.execPath, [program, ...argv], { env, encoding: 'utf8', cwd: folder });

beforeAll(() => {
  const build = [join(projectFolder, 'src/scripts/build.mjs'), 'src/cli.ts', join(folder, 'dist')];
  expect(spawnSync(process.execPath, build, { cwd: projectFolder, encoding: 'utf8' }).stderr).toBe('');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('the built program', () => {
  it('finishes writing even when its reader goes away', () => {
    const state = join(folder, 'epipe');
    const line = `"${process.execPath}" "${program}" rehearse "${fixture('scripts/keel-scarf.yaml')}" --state "${state}" | head -1`;
    const ran = spawnSync('sh', ['-c', line], { env, encoding: 'utf8', cwd: folder });
    expect(ran.stderr).toBe('');
    expect(ran.stdout.trim().split('\n')).toHaveLength(1);
    expect(readdirSync(join(state, 'records'))).toHaveLength(1);
    expect(run('verify', '--state', state)).toMatchObject({ status: 0, stderr: '' });
  });

  it('has on the disk everything that it had shown, when it is killed at any moment', async () => {
    for (const pause of [0, 5, 20, 60]) {
      const state = join(folder, `killed-${pause}`);
      const argv = [program, 'rehearse', fixture('scripts/keel-scarf.yaml'), '--state', state, '--json'];
      const child = spawn(process.execPath, argv, { env, cwd: folder });
      let shown = '';
      child.stdout.setEncoding('utf8');
      await new Promise<void>((resolve) => {
        child.stdout.on('data', (text: string) => {
          if (shown === '') void sleep(pause).then(() => child.kill('SIGKILL'));
          shown += text;
        });
        child.on('close', () => resolve());
      });
      const told = shown
        .split('\n')
        .slice(0, -1)
        .map((line) => (JSON.parse(line) as { entry?: string }).entry)
        .filter((entry) => entry !== undefined);
      const [name = ''] = readdirSync(join(state, 'journal'));
      const lines = readFileSync(join(state, 'journal', name), 'utf8')
        .split('\n')
        .slice(0, -1);
      const kept = lines.map((line) => {
        const { writer, seq } = JSON.parse(line) as { writer: string; seq: number };
        return `${writer}:${seq}`;
      });
      expect(told.length).toBeGreaterThan(0);
      expect(kept).toEqual(expect.arrayContaining(told));
      expect(run('verify', '--state', state)).toMatchObject({ status: 0, stderr: '' });
      expect(run('do', 'keel', 'remark', 'back again', '--as', 'first', '--state', state).status).toBe(0);
    }
  });

  it('repeats the status that it kept, and makes it anew once something was entered', () => {
    const state = join(folder, 'kept');
    run('rehearse', fixture('scripts/keel-scarf.yaml'), '--state', state);
    const first = run('status', '--json', '--state', state);
    expect(readdirSync(join(folder, 'home/.cache/dryfit/status'))).toHaveLength(1);
    expect(run('status', '--json', '--state', state).stdout).toBe(first.stdout);
    const item = ['cap', 'count=1', 'left=on the bench', 'because=waits', 'before=hull-close'];
    run('do', 'keel', 'loose', ...item, '--as', 'first', '--state', state);
    expect(JSON.parse(run('status', '--json', '--state', state).stdout)).toMatchObject({ loose: [{ item: 'cap' }] });
  });
});

describe('one writer at a time', () => {
  it('a second process learns who writes, and may only read', async () => {
    const state = join(folder, 'locked');
    run('person', 'add', 'ines', '--state', state);
    // It waits for a passphrase that never comes, and meanwhile has the state open.
    const waiting = [program, 'person', 'add', 'tobias', '--power', 'inspector', '--state', state];
    const holder = spawn(process.execPath, waiting, { env, cwd: folder });
    const claims = join(folder, 'home/.cache/dryfit/locks');
    const isHeld = (): boolean =>
      existsSync(claims) && readdirSync(claims, { recursive: true }).some((name) => String(name).endsWith('.held'));
    for (let tries = 0; tries < 3000 && !isHeld(); tries += 1) await sleep(20);
    const refused = run('do', '-', 'temperature', '19 °C', '--state', state);
    expect(refused.stderr).toContain('refused read-only');
    expect(refused.status).toBe(3);
    expect(run('status', '--state', state).status).toBe(0);
    holder.kill('SIGKILL');
    await new Promise((resolve) => holder.on('close', resolve));
    const after = run('do', '-', 'temperature', '19 °C', '--state', state);
    expect(after.status).toBe(0);
    expect(after.stderr).toContain('ended without closing this state');
  });
});

describe('a wall clock that is set while the state is open', () => {
  it('puts rules on time in doubt until the true time is entered, and what was done can still be entered', async () => {
    const own = machine();
    const text = readFileSync(fixture('scripts/keel-scarf.yaml'), 'utf8').replace(
      '../../../procedures',
      join(projectFolder, 'procedures'),
    );
    own.file('s.yaml', text.slice(0, text.indexOf('  - { at: +6h, temperature: 20.0 °C }')));
    expect((await own.run(['rehearse', 's.yaml', '--state', own.state])).code).toBe(0);
    const now = { wall: Date.parse('2026-03-05T09:00:00Z'), monotonic: 0 };
    const place: Workplace = {
      disk: realDisk,
      state: own.state,
      config: join(own.folder, 'c'),
      cache: join(own.folder, 'k'),
      procedures: join(projectFolder, 'procedures'),
      wall: () => now.wall,
      monotonic: () => now.monotonic,
      offset: () => 60,
      random: (bytes) => crypto.getRandomValues(new Uint8Array(bytes)),
    };
    const opened = openWorkshop(place, 'write');
    if (!opened.ok) throw new Error(opened.fault.what);
    let workshop = opened.value;
    const [job = ''] = workshop.state().jobOrder;
    const finish = (): string => {
      const tried = workshop.tryAct({ verb: 'finish', job, by: 'first', data: { step: 'bond-cure' } });
      return tried.ok ? 'taken' : tried.fault.code;
    };
    const signers = keyring(
      place,
      () => workshop.state(),
      () => undefined,
    )({});
    const log = 'time,temp (C)\n2026-03-03 12:00,20\n';
    const enter = (verb: 'temperature' | 'clock', data: Readonly<Record<string, string>>): boolean =>
      workshop.submit({ verb, job: '', by: 'first', data }, signers).ok;
    expect(finish()).toBe('cure-not-reached');
    // thirty days that never passed: the reading is kept, says itself that its time is in doubt, and does not count
    now.wall += 30 * 86_400_000;
    expect(enter('temperature', { temperature: '20 °C', lowest: '19 °C' })).toBe(true);
    expect(workshop.openState.last?.line).toMatchObject({ type: 'temperature', data: { 'clock-doubt': true } });
    expect(finish()).toBe('cure-not-reached');
    expect(
      workshop.tryAct({ verb: 'temperatures', job: '', by: 'first', data: { file: own.file('l.csv', log) } }),
    ).toMatchObject({ fault: { code: 'clock' } });
    // the program is closed and opened again: the next run has only the wall clock, but the journal shows that it is wrong
    workshop.close();
    const again = openWorkshop(place, 'write');
    if (!again.ok) throw new Error(again.fault.what);
    workshop = again.value;
    expect(workshop.state().clockTrouble?.why).toContain('the clock was set before entry');
    expect(enter('clock', { time: '2026-03-05T10:05:00+01:00' })).toBe(false);
    now.wall -= 30 * 86_400_000;
    expect(enter('clock', { time: '2026-03-05T10:01:00+01:00' })).toBe(true);
    expect(workshop.state().clockTrouble).toBeUndefined();
    // from here on hours count again, between times of one run
    const hours = async (count: number): Promise<void> => {
      now.wall += count * 3_600_000;
      now.monotonic += count * 3_600_000;
      expect(enter('temperature', { temperature: '20 °C', lowest: '19 °C' })).toBe(true);
      await Promise.resolve();
    };
    await hours(30);
    expect(finish()).toBe('cure-not-reached');
    await hours(30);
    expect(finish()).toBe('taken');
    workshop.close();
    const verified = await own.run(['verify', own.state]);
    expect(verified).toMatchObject({ code: 0, err: '' });
  });
});

describe('two machines', () => {
  it('each write a file of their own, and together these are one story', async () => {
    const one = machine();
    const two = machine();
    await one.run(['rehearse', fixture('scripts/keel-scarf.yaml'), '--state', one.state]);
    cpSync(one.state, two.state, { recursive: true });
    const at = (own: typeof one, minute: string, text: string) => {
      const now = `2026-03-12T09:${minute}:00+01:00`;
      return own.run(['do', 'keel', 'remark', text, '--as', 'first', '--state', own.state, '--now', now]);
    };
    expect((await at(one, '01', 'at the bench')).code).toBe(0);
    expect((await at(two, '02', 'at the desk')).code).toBe(0);
    const files = (own: typeof one): readonly string[] => readdirSync(join(own.state, 'journal'));
    expect(files(one)).toHaveLength(1);
    expect(files(two)).toHaveLength(2);
    const [other = ''] = files(two).filter((name) => !files(one).includes(name));
    cpSync(join(two.state, 'journal', other), join(one.state, 'journal', other));
    expect(await at(one, '03', 'together')).toMatchObject({ code: 0 });
    expect(await one.run(['verify', '--state', one.state])).toMatchObject({ code: 0, err: '' });
  });

  it('a state restored from an older copy gets a new writer, and says so', async () => {
    const own = machine();
    const enter = (text: string) => own.run(['do', '-', 'temperature', text, '--state', own.state]);
    await own.run(['person', 'add', 'ines', '--state', own.state]);
    cpSync(own.state, join(own.folder, 'older'), { recursive: true });
    await enter('19 °C');
    rmSync(own.state, { recursive: true });
    cpSync(join(own.folder, 'older'), own.state, { recursive: true });
    const ran = await enter('18 °C');
    expect(ran.code).toBe(0);
    expect(ran.err).toContain('goes on from here');
    expect(readdirSync(join(own.state, 'journal'))).toHaveLength(2);
    expect((await own.run(['verify', '--state', own.state])).code).toBe(0);
  });
});
