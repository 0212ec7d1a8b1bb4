import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { err, ok, wrong, type Outcome } from '../fault/fault.ts';

/** The user's own git, in one folder. No engine of ours: what it may do, and whom it asks, is as they have set it up. */
export interface Git {
  /** What it printed. Code `git`, with what it said; `git-missing` where there is none. */
  readonly run: (...argv: readonly string[]) => Outcome<string>;
  readonly close: () => void;
}

/**
 * Each machine writes a journal file of its own, so git has nothing to merge in them; where two did write in one, both lines are kept,
 * and reading it says which of them follows.
 */
const attributes = '*.jsonl merge=union\nallowed_signers merge=union\n';

/** The last thing that git said is the reason. */
const said = (text: string): string =>
  text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '' && !line.startsWith('hint:'))
    .slice(-3)
    .join('; ');

/** @param folder where git works, a folder of its work tree. */
export const gitIn = (folder: string, env: Readonly<Record<string, string | undefined>>): Git => {
  const own = mkdtempSync(join(tmpdir(), 'dryfit-git-'));
  const file = join(own, 'attributes');
  writeFileSync(file, attributes);
  const run: Git['run'] = (...argv) => {
    const { status, stdout, stderr, error } = spawnSync('git', ['-c', `core.attributesFile=${file}`, ...argv], {
      cwd: folder,
      encoding: 'utf8',
      env: { ...env, LC_ALL: 'C' },
      stdio: ['inherit', 'pipe', 'pipe'],
      maxBuffer: 64 * 1024 * 1024,
    });
    if (error !== undefined && 'code' in error && error.code === 'ENOENT')
      return err(
        wrong('git-missing', 'git is not installed here', 'install it, or bring the files together another way'),
      );
    return status === 0
      ? ok(stdout)
      : err(
          wrong(
            'git',
            `git ${argv[0] ?? ''}: ${said(stderr) || said(stdout) || 'failed'}`,
            'put that right with git itself, then sync again',
          ),
        );
  };
  return { run, close: () => rmSync(own, { recursive: true, force: true }) };
};
