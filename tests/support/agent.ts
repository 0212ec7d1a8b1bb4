import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A real ssh-agent for one test, with the environment by which programs find it. */
export interface Agent {
  readonly variables: Readonly<Record<string, string | undefined>>;
  /** Runs `ssh-add` with these arguments and gives its exit code. */
  readonly add: (...args: readonly string[]) => number | null;
  readonly stop: () => Promise<void>;
}

const until = async (holds: () => boolean): Promise<void> => {
  for (let tries = 0; !holds(); tries += 1) {
    if (tries > 6000) throw new Error('the ssh-agent did not start');
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
};

const ended = (child: ChildProcess): Promise<void> =>
  new Promise((resolve) => {
    if (child.exitCode !== null || child.signalCode !== null) resolve();
    else child.once('exit', () => resolve());
  });

/** Starts an agent in the foreground, so that `stop` ends it and it never outlives the test. */
export const startAgent = async (): Promise<Agent> => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-own-agent-'));
  const socket = join(folder, 'socket');
  const child = spawn('ssh-agent', ['-D', '-a', socket], { stdio: 'ignore' });
  await until(() => existsSync(socket));
  const variables = { PATH: process.env['PATH'], HOME: folder, SSH_AUTH_SOCK: socket };
  return {
    variables,
    add: (...args) => spawnSync('ssh-add', ['-q', ...args], { env: variables, stdio: 'ignore' }).status,
    stop: async () => {
      child.kill();
      await ended(child);
      rmSync(folder, { recursive: true, force: true });
    },
  };
};
