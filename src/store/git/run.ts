import { spawnSync } from 'node:child_process';
import { err, ok, wrong, type Outcome } from '../../fault/fault.ts';
import { safePath, type ProgramVariables } from './program.ts';

/** How one call of git is made. */
export interface Calling {
  /** The full path of git. */
  readonly git: string;
  readonly cwd: string;
  readonly variables: ProgramVariables;
  /** Before the command's own words: `-c NAME=VALUE`, each. */
  readonly settings: readonly string[];
  readonly input?: Uint8Array | string;
}

/** In bytes, of what one call may print. */
const most = 1024 ** 3;

/** git gives the reason in its last lines. */
const said = (text: string): string =>
  text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '' && !line.startsWith('hint:'))
    .slice(-3)
    .join('; ');

/**
 * What would lead git to another repository than the one that dryfit examined (those of `git rev-parse --local-env-vars`, without the
 * person's own settings), and what would let it start an editor or a pager.
 */
const notPassedOn: readonly string[] = [
  'GIT_DIR',
  'GIT_WORK_TREE',
  'GIT_COMMON_DIR',
  'GIT_INDEX_FILE',
  'GIT_OBJECT_DIRECTORY',
  'GIT_ALTERNATE_OBJECT_DIRECTORIES',
  'GIT_CONFIG',
  'GIT_IMPLICIT_WORK_TREE',
  'GIT_GRAFT_FILE',
  'GIT_NO_REPLACE_OBJECTS',
  'GIT_REPLACE_REF_BASE',
  'GIT_PREFIX',
  'GIT_SHALLOW_FILE',
  'GIT_NAMESPACE',
  'GIT_EXTERNAL_DIFF',
  'GIT_DIFF_OPTS',
];

const environment = (variables: ProgramVariables): NodeJS.ProcessEnv => ({
  ...Object.fromEntries(Object.entries(variables).filter(([name]) => !notPassedOn.includes(name))),
  PATH: safePath(variables),
  LC_ALL: 'C',
  GIT_EDITOR: ':',
  GIT_PAGER: 'cat',
  GIT_LITERAL_PATHSPECS: '1',
  GIT_NO_REPLACE_OBJECTS: '1',
});

/** Runs git, and gives what it printed. Codes: `git`, with git's own message. */
export const callGit = (
  { git, cwd, variables, settings, input }: Calling,
  argv: readonly string[],
  more: ProgramVariables = {},
): Outcome<Buffer> => {
  const { status, stdout, stderr, error } = spawnSync(git, [...settings, ...argv], {
    cwd,
    env: { ...environment(variables), ...more },
    stdio: [input === undefined ? 'inherit' : 'pipe', 'pipe', 'pipe'],
    maxBuffer: most,
    ...(input === undefined ? {} : { input }),
  });
  if (status === 0 && error === undefined) return ok(stdout);
  const why =
    said(stderr?.toString('utf8') ?? '') || said(stdout?.toString('utf8') ?? '') || (error?.message ?? 'failed');
  return err(wrong('git', `git ${argv[0] ?? ''}: ${why}`, 'Put that right with git itself, then sync again'));
};
