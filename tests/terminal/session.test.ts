import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { constants, tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'esbuild';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { openScreen, type Screen } from '../support/screen.ts';

let folder: string;
let program: string;
const opened: Screen[] = [];

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'terminal-'));
  program = join(folder, 'echo.cjs');
  const entry = new URL('fixtures/echo.ts', import.meta.url).pathname;
  await build({ entryPoints: [entry], outfile: program, bundle: true, platform: 'node', format: 'cjs' });
});
afterEach(async () => {
  for (const screen of opened.splice(0)) await screen.close();
});
afterAll(() => rm(folder, { recursive: true }));

/** Runs through a shell, so that the test sees the terminal afterwards. */
const open = (options: { cols?: number; rows?: number; argument?: string } = {}): Screen => {
  const script = `node '${program}' ${options.argument ?? ''}; echo "ended $?"; stty -a; echo over`;
  const screen = openScreen({ command: 'bash', args: ['--norc', '-c', script], ...options });
  opened.push(screen);
  return screen;
};
const processOf = (screen: Screen): number => Number(/process (\d+)/.exec(screen.line(0))?.[1]);
const ready = (screen: Screen): Promise<void> => screen.see(/process \d+ end/);

const isAsBefore = async (screen: Screen): Promise<void> => {
  await screen.see('over');
  expect(screen.full()).toBe(false);
  expect(screen.text()).toMatch(/[^-]icanon/);
  expect(screen.text()).toMatch(/[^-]echo /);
  const bytes = screen.bytes();
  for (const mode of ['25h', '7h', '2004l', '1049l']) {
    const opposite = mode.endsWith('h') ? mode.replace('h', 'l') : mode.replace('l', 'h');
    expect(bytes.lastIndexOf(`\u001b[?${mode}`), mode).toBeGreaterThan(bytes.lastIndexOf(`\u001b[?${opposite}`));
  }
  expect(screen.text().match(/left once/g)).toHaveLength(1);
};

describe('the terminal is given back', () => {
  it('when the program leaves', async () => {
    const screen = open();
    await ready(screen);
    expect(screen.full()).toBe(true);
    screen.send('q');
    await isAsBefore(screen);
    expect(screen.text()).toContain('ended 0');
  });

  it.each(['SIGINT', 'SIGTERM', 'SIGHUP', 'SIGQUIT'] as const)(
    'after %s, with which the program ends',
    async (signal) => {
      const screen = open();
      await ready(screen);
      process.kill(processOf(screen), signal);
      await isAsBefore(screen);
      expect(screen.text()).toContain(`ended ${128 + constants.signals[signal]}`);
    },
  );

  it.each([
    ['t', 'thrown on purpose', 1],
    ['r', 'rejected on purpose', 1],
    ['e', 'left once', 5],
  ])('after %s: %s', async (key, said, code) => {
    const screen = open({ rows: 50 });
    await ready(screen);
    screen.send(key);
    await isAsBefore(screen);
    expect(screen.text()).toContain(said);
    expect(screen.text()).toContain(`ended ${code}`);
  });

  it('before an uncaught error is printed', async () => {
    const screen = open({ argument: 'tells' });
    await ready(screen);
    screen.send('t');
    await isAsBefore(screen);
    expect(screen.text()).toContain('told: thrown on purpose');
    expect(screen.text()).toContain('ended 4');
  });
});

describe('a program that is stopped', () => {
  const underShell = async (command = `node '${program}'`): Promise<Screen> => {
    const screen = openScreen({ command: 'bash', args: ['--norc', '-i'], env: { PS1: 'prompt> ' } });
    opened.push(screen);
    await screen.see('prompt>');
    screen.send(`${command}\r`);
    await ready(screen);
    return screen;
  };

  it('by Ctrl-Z gives the terminal back, and later takes it again with the whole screen', async () => {
    const screen = await underShell();
    screen.send('xyz');
    await screen.see('char:z');
    const before = screen.text();
    screen.send('\u001a');
    await screen.see('Stopped');
    expect(screen.full()).toBe(false);
    screen.send('fg\r');
    await screen.waitFor(() => screen.full() && screen.text() === before);
    screen.send('\u001b[A');
    await screen.see('char:z up');
  });

  it('stops the program that started it as well, so that the shell comes back', async () => {
    const start = `require("node:child_process").spawnSync(process.execPath, ["${program}"], { stdio: "inherit" })`;
    const screen = await underShell(`node -e '${start}'`);
    screen.send('\u001a');
    await screen.see('Stopped');
    screen.send('fg\r');
    await screen.waitFor(() => screen.full() && /process \d+ end/.test(screen.text()));
  });

  it('by another program does the same', async () => {
    const screen = await underShell();
    const pid = processOf(screen);
    process.kill(pid, 'SIGTSTP');
    await screen.see('Stopped');
    expect(screen.full()).toBe(false);
    screen.send('fg\r');
    await ready(screen);
    process.kill(pid, 'SIGSTOP');
    await screen.see('Stopped');
    screen.send('fg\r');
    await screen.waitFor(() => screen.full() && /process \d+ end/.test(screen.text()));
    screen.send('k');
    await screen.see('char:k');
    screen.send('\u001a');
    await screen.see('Stopped');
  });

  it('continues at once where nobody could continue it', async () => {
    const screen = openScreen({ command: process.execPath, args: [program] });
    opened.push(screen);
    await ready(screen);
    screen.send('\u001a');
    await screen.waitFor(() => screen.bytes().split('\u001b[?1049h').length === 3);
    screen.send('k');
    await screen.see('char:k');
    expect(screen.full()).toBe(true);
  });
});

describe('the terminal', () => {
  it('follows the size', async () => {
    const screen = open();
    await ready(screen);
    for (const [cols, rows] of [
      [40, 12],
      [200, 60],
      [20, 5],
      [80, 24],
    ] as const) {
      screen.resize(cols, rows);
      await screen.waitFor(
        () => screen.line(0).startsWith(`${cols} x ${rows}`) && screen.line(rows - 1) === '='.repeat(cols),
      );
      expect(screen.line(1)).toBe('keys:');
      expect(screen.cell(cols - 1, rows - 1).colour).toBe(2);
    }
  });

  it('sounds the bell, and only when it is rung', async () => {
    const screen = open();
    await ready(screen);
    expect(screen.bytes()).not.toContain('\u0007');
    screen.send('b');
    await screen.waitFor(() => screen.bytes().includes('\u0007'));
  });

  it('is read key by key, from a scanner and a paste alike', async () => {
    const screen = open();
    await ready(screen);
    screen.send('S1\r');
    await screen.see('keys: char:S char:1 enter');
    screen.send('\u001b[200~a b\u001b[201~');
    await screen.see('enter paste:a b');
    screen.send('\u001b');
    await screen.see('paste:a b escape');
  });

  it('that goes away ends the program, which prints no farewell', async () => {
    const log = join(folder, 'stderr');
    const screen = openScreen({ command: 'bash', args: ['-c', `exec node '${program}' 2>'${log}'`] });
    opened.push(screen);
    await ready(screen);
    screen.hangUp();
    expect(await screen.exit).toEqual({ code: 0, signal: constants.signals.SIGHUP });
    expect(await readFile(log, 'utf8')).toBe('left once\n');
  });
});
