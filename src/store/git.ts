import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { err, ok, wrong, type Outcome } from '../fault/fault.ts';

/** The user's own git, in one folder. What it may do and whom it asks for passwords is as the user has configured it. */
export interface Git {
  /** Gives what git printed. Codes: `git`, with git's own message; `git-missing` where it is not installed. */
  readonly run: (...argv: readonly string[]) => Outcome<string>;
  readonly close: () => void;
}

/**
 * Each machine writes a journal file of its own, so git has nothing to merge in them. Where two machines did write in one file,
 * git keeps both lines, and reading the journal shows which of them breaks the chain.
 */
const attributes = '*.jsonl merge=union\nallowed_signers merge=union\n';

/** git gives the reason in its last line. */
const said = (text: string): string =>
  text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '' && !line.startsWith('hint:'))
    .slice(-3)
    .join('; ');

/**
 * @param folder a folder of the work tree, in which git runs.
 */
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
