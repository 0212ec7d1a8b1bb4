import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import { startAgent } from '../support/agent.ts';
import { openScreen, type Screen } from '../support/screen.ts';

/* The bench in a real terminal, with a person's own OpenSSH key. */

const root = resolve(import.meta.dirname, '../..');
const program = join(root, 'dist/dryfit.js');
const all = mkdtempSync(join(tmpdir(), 'dryfit-own-key-'));
let folder: string;
let open: Screen | undefined;

beforeEach(() => {
  folder = mkdtempSync(join(all, 'one-'));
  mkdirSync(join(folder, 'cache'));
});
afterEach(async () => {
  await open?.close();
  open = undefined;
});
afterAll(() => rmSync(all, { recursive: true, force: true }));

type Variables = Readonly<Record<string, string | undefined>>;
const home = (variables: Variables): Variables => ({
  HOME: folder,
  XDG_CONFIG_HOME: join(folder, 'config'),
  XDG_CACHE_HOME: join(folder, 'cache'),
  LANG: 'C.UTF-8',
  SSH_AUTH_SOCK: undefined,
  ...variables,
});
const run = (args: readonly string[], variables: Variables, input = ''): string =>
  execFileSync(process.execPath, [program, '--state', join(folder, 'state'), ...args], {
    encoding: 'utf8',
    input,
    env: { ...process.env, ...home(variables) },
  });
const bench = (variables: Variables): Screen => {
  const args = [program, '--state', join(folder, 'state'), 'small-plate'];
  open = openScreen({ command: process.execPath, args, env: home(variables) });
  return open;
};
const newKey = (passphrase: string): string => {
  const path = join(folder, 'id_ed25519');
  execFileSync('ssh-keygen', ['-q', '-t', 'ed25519', '-N', passphrase, '-f', path]);
  return path;
};
const start = ['start', 'small-plate', '--each', 'left', '--procedures', join(root, 'tests/fixtures/procedures')];
const types = (): readonly string[] =>
  readdirSync(join(folder, 'state/journal')).flatMap((name) =>
    readFileSync(join(folder, 'state/journal', name), 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => (JSON.parse(line) as { readonly type: string }).type),
  );

/** A committing key within 0.4 s of a commit would be ignored, and so would an enter that comes with its text, as from a scanner. */
const answer = async (screen: Screen, question: string | RegExp, ...keys: readonly string[]): Promise<void> => {
  await screen.see(question);
  await new Promise((done) => setTimeout(done, 450));
  for (const [index, key] of keys.entries()) {
    const before = screen.text();
    screen.send(key);
    if (index === keys.length - 1) return;
    await screen.waitFor(() => screen.text() !== before);
    await new Promise((done) => setTimeout(done, 60));
  }
};
const enter = '\r';

describe('at the bench', () => {
  it('asks once for the passphrase of a key file, reports a wrong one, and enters what was typed', async () => {
    const path = newKey('keel and strut');
    run(['person', 'add', 'ines', '--key', path], {}, 'keel and strut\n');
    run(start, {}, 'keel and strut\n');
    const screen = bench({});
    await answer(screen, 'Width', '12.5', enter);
    await answer(screen, 'passphrase', 'keel', enter);
    await answer(screen, 'is not right', 'keel and strut', enter);
    await screen.see('12.5 mm within');
    expect(screen.bytes()).not.toContain('keel and strut');
    await answer(screen, 'enter: finish', enter);
    await screen.see('2 of 4');
    expect(types().slice(-2)).toEqual(['read', 'finish']);
  });

  it('signs with a key in the agent without asking; without the agent it enters nothing and keeps what was typed', async () => {
    const agent = await startAgent();
    try {
      const path = newKey('');
      expect(agent.add(path)).toBe(0);
      rmSync(path);
      run(['person', 'add', 'ines', '--key', `${path}.pub`], agent.variables);
      run(start, agent.variables);
      const entries = types().length;
      const screen = bench(agent.variables);
      await screen.see('Width');
      await agent.stop();
      await answer(screen, 'Width', '12.5', enter);
      await screen.see('no ssh-agent answers');
      await screen.see('1 2 . 5'); // still there, in the large figures
      expect(types().length).toBe(entries);
    } finally {
      await agent.stop();
    }
  });
});
