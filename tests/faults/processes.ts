import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { tally, type Campaign } from './campaign.ts';

/* The built program as a process of its own, killed with SIGKILL: what a simulation cannot prove. */

const law =
  'whatever it had printed as taken is in the journal, verify finds nothing wrong, and the next process goes on';

const script = (root: string): string => join(root, 'tests/fixtures/scripts/keel-scarf.yaml');

interface Run {
  readonly root: string;
  readonly folder: string;
  readonly program: string;
}

const envOf = ({ folder }: Run): NodeJS.ProcessEnv => ({
  PATH: process.env['PATH'],
  HOME: join(folder, 'home'),
  TZ: 'UTC',
});

/** The entries that a process printed, one a line, before it was killed. */
const printed = (out: string): readonly string[] =>
  out
    .split('\n')
    .slice(0, -1)
    .flatMap((line) => (JSON.parse(line) as { entry?: string }).entry ?? []);

const inJournal = (state: string): readonly string[] => {
  const folder = join(state, 'journal');
  if (!existsSync(folder)) return [];
  return readdirSync(folder).flatMap((name) =>
    readFileSync(join(folder, name), 'utf8')
      .split('\n')
      .slice(0, -1)
      .map((line) => {
        const { writer, seq } = JSON.parse(line) as { writer: string; seq: number };
        return `${writer}:${seq}`;
      }),
  );
};

const judge = (run: Run, state: string, out: string): readonly string[] => {
  const there = new Set(inJournal(state));
  const found = printed(out)
    .filter((entry) => !there.has(entry))
    .map((entry) => `${entry} was printed and is lost`);
  const dryfit = (...argv: readonly string[]) =>
    spawnSync(process.execPath, [run.program, ...argv, '--state', state], { env: envOf(run), encoding: 'utf8' });
  if (there.size === 0) return found;
  const verified = dryfit('verify');
  if (verified.status !== 0) found.push(`verify: ${verified.stderr.trim()}`);
  if (there.size < 6) return found; // not begun yet: nobody is a builder, and the rehearsal is started anew
  const next = dryfit('do', '-', 'temperature', '19 °C', '--as', 'first', '--now', '2026-06-01T09:00:00+02:00');
  if (next.status !== 0) found.push(`the next entry: ${next.stderr.trim()}`);
  return found;
};

/** Runs a rehearsal until it is killed, and gives what it had printed by then. */
const rehearse = async (run: Run, state: string, more: NodeJS.ProcessEnv, pause?: number): Promise<string> => {
  const preload = join(run.root, 'tests/faults/fixtures/kill.cjs');
  const argv = ['--require', preload, run.program, 'rehearse', script(run.root), '--state', state, '--json'];
  const child = spawn(process.execPath, argv, { env: { ...envOf(run), ...more } });
  let out = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    if (out === '' && pause !== undefined) void sleep(pause).then(() => child.kill('SIGKILL'));
    out += text;
  });
  await new Promise((resolve) => child.on('close', resolve));
  return out;
};

const inFolder = async <T>(root: string, work: (run: Run) => Promise<T>): Promise<T> => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-kills-'));
  try {
    return await work({ root, folder, program: join(root, 'dist/dryfit.js') });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

/** How many changes a whole rehearsal makes to the disk. */
const changes = async (run: Run): Promise<number> => {
  const count = join(run.folder, 'count');
  writeFileSync(count, '0');
  await rehearse(run, join(run.folder, 'whole'), { DRYFIT_KILL_COUNT: count });
  return Number(readFileSync(count, 'utf8'));
};

/** @param root the project's folder, with the built program in it. */
export const processKills =
  (root: string): Campaign =>
  ({ processes }) =>
    inFolder(root, async (run) => {
      const { add, told } = tally('real processes killed: before a write, a sync, a rename, and at random', law);
      const all = await changes(run);
      const half = Math.ceil(processes / 2);
      for (let one = 0; one < half; one += 1) {
        const at = 1 + Math.floor((one * all) / half);
        const state = join(run.folder, `at-${at}`);
        const out = await rehearse(run, state, { DRYFIT_KILL_AT: String(at) });
        add(`before change ${at} of ${all}`, judge(run, state, out));
        rmSync(state, { recursive: true, force: true });
      }
      for (let one = half; one < processes; one += 1) {
        const state = join(run.folder, `random-${one}`);
        const out = await rehearse(run, state, {}, (one * 37) % 150);
        add(`killed ${(one * 37) % 150} ms after the first line`, judge(run, state, out));
        rmSync(state, { recursive: true, force: true });
      }
      return told();
    });
