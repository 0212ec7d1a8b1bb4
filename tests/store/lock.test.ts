import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { realDisk } from '../../src/store/disk.ts';
import { lookAtLock, takeLock, type LockPlace } from '../../src/store/lock.ts';
import { realProcesses, type Processes } from '../../src/store/processes.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { memoryDisk } from './memory-disk.ts';

/** Processes that are alive or dead as the test says. */
const abroad = new Set(['900-z']);
const actors =
  (living: Set<string>) =>
  (name: string): Processes => ({
    me: () => name,
    fate: (other) => (abroad.has(other) ? 'elsewhere' : living.has(other) ? 'alive' : 'dead'),
  });

const faultOf = (outcome: ReturnType<typeof takeLock>): string => (outcome.ok ? '' : outcome.fault.what);

describe('the lock of a state', () => {
  const living = new Set<string>();
  const as = actors(living);
  const disk = memoryDisk();
  const place = (name: string, realState = '/state'): LockPlace => ({
    disk,
    cache: '/cache',
    config: '/config',
    realState,
    processes: as(name),
  });
  beforeEach(() => {
    living.clear();
    for (const name of ['100-a', '200-b', '300-c']) living.add(name);
    disk.trouble = () => undefined;
    disk.remove('/cache');
    disk.remove('/config');
  });

  it('is held by one process, which is named to the next, and released', () => {
    const first = valueOf(takeLock(place('100-a')));
    const second = takeLock(place('200-b'));
    expect(codeOf(second)).toBe('read-only');
    expect(faultOf(second)).toContain('process 100');
    expect(lookAtLock(place('200-b'))).toEqual({ holder: '100-a', left: [] });
    first.release();
    expect(codeOf(takeLock(place('200-b')))).toBe('taken');
  });

  it('belongs to the state', () => {
    valueOf(takeLock(place('100-a')));
    expect(codeOf(takeLock(place('200-b', '/other')))).toBe('taken');
  });

  it('is not held twice by one process', () => {
    valueOf(takeLock(place('100-a')));
    expect(codeOf(takeLock(place('100-a')))).toBe('read-only');
  });

  it('is not held by a dead process, even when another process has its number', () => {
    valueOf(takeLock(place('100-a')));
    living.delete('100-a');
    living.add('100-z');
    expect(lookAtLock(place('200-b')).left).toEqual(['100-a']);
    const { notices } = valueOf(takeLock(place('200-b')));
    expect(notices.map(({ code }) => code)).toEqual(['lock-left']);
    expect(codeOf(takeLock(place('100-z')))).toBe('read-only');
  });

  it('is tried again where another process is also trying, and taken once that one withdraws', () => {
    let asked = 0;
    disk.makeFolder('/cache');
    const folderOf = () =>
      disk
        .paths()
        .find((name) => name.endsWith('.claim'))
        ?.replace(/[^/]*$/, '') ?? '';
    valueOf(takeLock(place('100-a'))).release();
    valueOf(takeLock(place('300-c')));
    const folder = folderOf();
    disk.remove(`${folder}300-c.held`);
    const processes: Processes = {
      me: () => '200-b',
      fate: (other) => {
        asked += 1;
        if (asked === 3) disk.remove(`${folder}300-c.claim`);
        return living.has(other) ? 'alive' : 'dead';
      },
    };
    expect(codeOf(takeLock({ ...place('200-b'), processes }))).toBe('taken');
    expect(asked).toBe(3);
  });

  it('is held by a process of another container or machine until somebody who knows removes its claim', () => {
    valueOf(takeLock(place('900-z')));
    const refused = takeLock(place('200-b'));
    expect(faultOf(refused)).toContain('another container');
    const file = /remove (?<path>.*)\.\*$/.exec(refused.ok ? '' : refused.fault.todo)?.groups?.['path'] ?? '';
    expect(lookAtLock(place('200-b')).holder).toBe('900-z');
    for (const end of ['claim', 'held']) disk.remove(`${file}.${end}`);
    expect(codeOf(takeLock(place('200-b')))).toBe('taken');
  });

  it.each(['ENOSPC', 'EROFS', 'EACCES', 'ENOTDIR'])(
    'is in the configuration folder where the cache gives %s, and both kinds see each other',
    (code) => {
      const failCache = (): void => {
        disk.trouble = (call, path) => (call !== 'list' && path.startsWith('/cache') ? code : undefined);
      };
      failCache();
      const lock = valueOf(takeLock(place('100-a')));
      expect(lock).toMatchObject({ isKept: true, notices: [] });
      expect(codeOf(takeLock(place('200-b')))).toBe('read-only');
      disk.trouble = () => undefined;
      expect(codeOf(takeLock(place('200-b')))).toBe('read-only');
      lock.release();
      valueOf(takeLock(place('200-b')));
      failCache();
      expect(codeOf(takeLock(place('100-a')))).toBe('read-only');
    },
  );

  it('is not kept where neither folder can be written, and that is said', () => {
    disk.trouble = (call) => (call === 'makeFolder' ? 'ENOSPC' : undefined);
    const lock = valueOf(takeLock(place('100-a')));
    expect(lock.isKept).toBe(false);
    expect(lock.notices.map(({ code }) => code)).toEqual(['lock-none']);
  });

  it('is never held by two, in whatever order their calls come', () => {
    // one process runs to its end at each possible moment of the other
    for (let moment = 0; moment < 20; moment += 1) {
      disk.remove('/cache');
      let calls = 0;
      let inner: ReturnType<typeof takeLock> | undefined;
      disk.trouble = () => {
        calls += 1;
        if (calls !== moment + 1) return undefined;
        disk.trouble = () => undefined;
        inner = takeLock(place('200-b'));
        return undefined;
      };
      const outer = takeLock(place('100-a'));
      disk.trouble = () => undefined;
      expect([outer.ok, inner?.ok === true].filter(Boolean).length, `moment ${moment}`).toBeLessThanOrEqual(1);
      if (inner !== undefined) expect(outer.ok || inner.ok, `moment ${moment}`).toBe(true);
    }
  });
});

describe('the lock between real processes', () => {
  let folder = '';
  const children: ChildProcess[] = [];
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'dryfit-test-'));
  });
  afterEach(() => {
    for (const child of children.splice(0)) child.kill('SIGKILL');
    rmSync(folder, { recursive: true, force: true });
  });
  const place = (): LockPlace => ({
    disk: realDisk,
    cache: folder,
    config: join(folder, 'config'),
    realState: '/state',
    processes: realProcesses,
  });
  const other = async (): Promise<ChildProcess> => {
    const child = spawn(process.execPath, ['-e', 'setInterval(() => {}, 1000); console.log("ready")'], {
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    children.push(child);
    await new Promise((resolve) => child.stdout?.once('data', resolve));
    return child;
  };
  const ended = (child: ChildProcess): Promise<unknown> =>
    child.exitCode !== null || child.signalCode !== null
      ? Promise.resolve()
      : new Promise((resolve) => child.once('exit', resolve));

  it('this process is alive, under a name that no other has', () => {
    const me = realProcesses.me();
    const [pid, birth, boot, space, host] = me.split('-');
    expect(me).toMatch(new RegExp(`^${process.pid}-`));
    expect(realProcesses.fate(me)).toBe('alive');
    expect(realProcesses.fate(`${pid}-1${birth}-${boot}-${space}-${host}`)).toBe('dead');
    expect(realProcesses.fate(`999999999-${birth}-${boot}-${space}-${host}`)).toBe('dead');
  });

  it('a process counts as elsewhere where its number means nothing here', () => {
    const [pid, birth, boot, space, host] = realProcesses.me().split('-');
    expect(realProcesses.fate(`${pid}-${birth}-${boot}-1${space}-${host}`)).toBe('elsewhere');
    expect(realProcesses.fate(`999999999-${birth}-${boot}-1${space}-${host}`)).toBe('elsewhere');
    expect(realProcesses.fate(`${pid}-${birth}-00000000-${space}-00000000`)).toBe('elsewhere');
    expect(realProcesses.fate(`${pid}-${birth}-unknown-unknown-00000000`)).toBe('elsewhere');
    for (const name of ['0-x', 'x', '999999999-x']) expect(realProcesses.fate(name)).toBe('elsewhere');
    // this machine was started anew since
    if (boot !== 'unknown') expect(realProcesses.fate(`${pid}-${birth}-00000000-${space}-${host}`)).toBe('dead');
  });

  it('a living holder keeps it, and a killed one loses it', async () => {
    const child = await other();
    valueOf(takeLock(place())).release();
    // the claim of the other process, as that process would create it
    const folderOfLock = join(folder, 'locks', realDisk.list(join(folder, 'locks'))[0] ?? '');
    const name = nameOfChild(child);
    writeFileSync(join(folderOfLock, `${name}.claim`), '');
    writeFileSync(join(folderOfLock, `${name}.held`), '');
    const refused = takeLock(place());
    expect(codeOf(refused)).toBe('read-only');
    expect(faultOf(refused)).toContain(`process ${child.pid}`);
    child.kill('SIGKILL');
    await ended(child);
    const lock = valueOf(takeLock(place()));
    expect(lock.notices).toHaveLength(1);
    lock.release();
    expect(realDisk.list(folderOfLock)).toEqual([]);
  });
});

/** What `me()` gives in that process: its number and birth, and otherwise what it gives here. */
const nameOfChild = ({ pid = 0 }: ChildProcess): string => {
  const [, , ...where] = realProcesses.me().split('-');
  const birth = existsSync('/proc/self/stat')
    ? readFileSync(`/proc/${pid}/stat`, 'latin1').split(') ')[1]?.split(' ')[19]
    : execFileSync('ps', ['-o', 'lstart=', '-p', String(pid)], { encoding: 'latin1', env: {} });
  return [pid, birth?.replaceAll(/[^A-Za-z0-9]+/g, ''), ...where].join('-');
};
