import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/* Runs OpenSSH's own program as the outside check, on files in a temporary folder. */

export interface Ran {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

export const run = (program: string, args: readonly string[], input = ''): Ran => {
  const { status, stdout, stderr, error } = spawnSync(program, args, { input, encoding: 'utf8' });
  if (error !== undefined) throw error;
  return { status, out: stdout, err: stderr };
};

export const sshKeygen = (args: readonly string[], input = ''): Ran => run('ssh-keygen', args, input);

/** A folder for one test. `write` gives the path of a file that nobody else may read. */
export const withFolder = <T>(work: (folder: string, write: (name: string, text: string) => string) => T): T => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-test-'));
  const write = (name: string, text: string): string => {
    const path = join(folder, name);
    writeFileSync(path, text, { mode: 0o600 });
    return path;
  };
  try {
    return work(folder, write);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

/** A source of bytes that always gives the same ones. For tests only. */
export const fixedRandom = (start = 1): ((length: number) => Uint8Array) => {
  let next = start;
  return (length) => Uint8Array.from({ length }, () => (next = (next * 73 + 41) % 251));
};
