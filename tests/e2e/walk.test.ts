import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { openScreen, type Screen } from '../support/screen.ts';

const root = resolve(import.meta.dirname, '../..');
const program = join(root, 'dist/dryfit.js');
const procedures = join(root, 'tests/e2e/procedures');
const folder = mkdtempSync(join(tmpdir(), 'dryfit-e2e-'));
const open: Screen[] = [];

afterEach(async () => {
  for (const screen of open.splice(0)) await screen.close();
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const homeOf = (name: string): Record<string, string> => ({
  HOME: join(folder, name),
  XDG_CONFIG_HOME: join(folder, name, 'config'),
  XDG_CACHE_HOME: join(folder, name, 'cache'),
  LANG: 'C.UTF-8',
});

const run = (
  name: string,
  args: readonly string[],
  input = '',
): { readonly status: number | null; readonly stdout: string; readonly stderr: string } =>
  spawnSync(process.execPath, [program, '--state', join(folder, name, 'state'), ...args], {
    encoding: 'utf8',
    input,
    env: { ...process.env, ...homeOf(name) },
  });

/** The bench in a real pseudo-terminal, with its clock set. */
const bench = (name: string, now: string, cols: number, rows: number): Screen => {
  const screen = openScreen({
    command: process.execPath,
    args: [program, '--state', join(folder, name, 'state'), '--procedures', procedures, '--now', now],
    cols,
    rows,
    env: homeOf(name),
  });
  open.push(screen);
  return screen;
};

const enter = '\r';

/**
 * Waits for the question on the screen, then sends the keys. A committing key within 0.4 s of a commit would be ignored, and so would an
 * enter that comes with its text, as from a scanner.
 */
const answer = async (screen: Screen, question: string | RegExp, keys: string): Promise<void> => {
  await screen.see(question);
  await new Promise((done) => setTimeout(done, 450));
  const text = keys.endsWith(enter) ? keys.slice(0, -1) : keys;
  const before = screen.text();
  if (text !== '') screen.send(text);
  if (keys === text) return;
  if (text !== '') await screen.waitFor(() => screen.text() !== before);
  await new Promise((done) => setTimeout(done, 60));
  screen.send(enter);
};

/** Turns the pages of a hold to the last one, as the bench wants it before the second person answers. */
const readOn = async (screen: Screen): Promise<void> => {
  await screen.see('page 1 of ');
  const of = Number(/page 1 of (\d+)/.exec(screen.text())?.[1] ?? 1);
  for (let page = 2; page <= of; page++) {
    screen.send('\u001B[B');
    await screen.see(`page ${page} of `);
  }
};

const linesOf = (name: string): readonly Record<string, unknown>[] => {
  const journal = join(folder, name, 'state/journal');
  return readdirSync(journal).flatMap((file) =>
    readFileSync(join(journal, file), 'utf8')
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => JSON.parse(line) as Record<string, unknown>),
  );
};

const sizes = [
  ['bench view', 48, 13],
  ['desk view', 80, 24],
  ['wide', 200, 60],
] as const;

describe.each(sizes)('a whole job by keys, %s', (name, cols, rows) => {
  it('keeps every answer from the screen in the record, though the bench is killed during the cure', async () => {
    const begin = ['--now', '2026-03-02T08:00:00+01:00'];
    expect(run(name, ['person', 'add', 'ines', '--name', 'Ines Varrow', ...begin]).status).toBe(0);
    expect(
      run(name, ['person', 'add', 'tobias', '--power', 'inspector', ...begin], 'a long secret\na long secret\n').status,
    ).toBe(0);

    const first = bench(name, '2026-03-02T09:00:00+01:00', cols, rows);
    await answer(first, 'start a job', enter);
    await answer(first, 'Bond the block', enter);
    await answer(first, 'enter: start', enter);
    await answer(first, 'Largest gap', `0.3${enter}`);
    await answer(first, 'another try', '1');
    await answer(first, 'Largest gap', `0.1${enter}`);
    await answer(first, 'Why is it taken again', `edge dressed${enter}`);
    await answer(first, 'enter: finish', enter);
    await first.see('PERMANENT');
    await answer(first, 'makes fast', enter); // never enter
    await answer(first, 'b b: begin', 'b');
    await answer(first, 'b once more', 'b');
    await answer(first, 'Lot number', `L-204${enter}`);
    await answer(first, 'Use by', `2027-01-31${enter}`);
    await answer(first, 'Weigh the resin', `100${enter}`);
    await answer(first, '43.2 to 44.8 g', `44.88${enter}`);
    await answer(first, 'sample', `S-1${enter}`);
    await answer(first, 'enter: finish', enter);
    await answer(first, 'f f: finish', 'f');
    await answer(first, 'f once more', 'f');
    await answer(first, 'Temperature now', `20${enter}`);
    await answer(first, 'Lowest', enter);
    await first.see('20 °C entered');
    first.kill('SIGKILL');
    await first.exit;

    const second = bench(name, '2026-03-02T21:00:00+01:00', cols, rows);
    await answer(second, 'Bond the block', enter);
    await answer(second, 'Coming back', enter);
    await answer(second, 'Temperature now', `19.5${enter}`);
    await answer(second, 'Lowest', enter);
    await answer(second, 'handle is reached', enter);
    await answer(second, 'What did it show', '1');
    await answer(second, '>1 held', enter);
    await answer(second, 'What was seen', `wood torn${enter}`);
    await answer(second, 'enter: finish', enter);
    await second.see('HOLD POINT');
    if (second.text().includes('next page')) {
      await answer(second, 'release on page', '1');
      await second.see('Read to the last page first');
    }
    await readOn(second);
    await answer(second, '1 release', '1');
    await answer(second, 'Who are you', '1');
    await answer(second, '>1 ', enter);
    await answer(second, 'What was seen', `bead whole${enter}`);
    await answer(second, 'your passphrase', `a long secret${enter}`);
    await answer(second, 'enter: finish', enter);
    await answer(second, 'enter: complete the job', enter);
    await second.see('The job is complete');

    const status = JSON.parse(run(name, ['status', '--json']).stdout) as { jobs: { id: string; state: string }[] };
    expect(status.jobs.map((job) => job.state)).toEqual(['complete']);
    const record = join(folder, name, 'state/records', status.jobs[0]?.id ?? '', '1');
    const text = readFileSync(join(record, 'record.json'), 'utf8');
    for (const value of [
      '0.3',
      '0.1',
      'edge dressed',
      'L-204',
      '2027-01-31',
      '100 g',
      '44.88 g',
      'S-1',
      '20 °C',
      '19.5 °C',
      'wood torn',
      'bead whole',
    ])
      expect(text, value).toContain(value);
    const signed = spawnSync(
      'ssh-keygen',
      [
        '-Y',
        'verify',
        '-f',
        join(folder, name, 'state/allowed_signers'),
        '-I',
        'ines',
        '-n',
        'dryfit-record',
        '-s',
        join(record, 'record.json.sig'),
      ],
      { input: text, encoding: 'utf8' },
    );
    expect(signed.stdout).toContain('Good "dryfit-record" signature for ines');
    expect(run(name, ['verify']).status).toBe(0);
    expect(linesOf(name).map((line) => line['type'])).toContain('complete');
    writeFileSync(join(record, 'record.json'), text.replace('44.88 g', '44.87 g'));
    const broken = run(name, ['verify', record]);
    expect(broken.status).toBe(1);
    expect(broken.stderr).toContain('record.json');
  });
});

describe('without a terminal', () => {
  it('prints the status, and exits 0', () => {
    const said = run('pipe', []);
    expect(said.status).toBe(0);
    expect(said.stdout).toContain('not begun');
  });
});
