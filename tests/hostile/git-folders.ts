import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { tally, type Campaign } from '../faults/campaign.ts';
import { hostileGits, type HostileGit } from './git-cases.ts';
import { contentOf, madeOnce, runProgram, type GitScene } from './git-scene.ts';

/* What a received folder brings to `sync`, tried through the program as it is shipped. */

const law =
  'sync refuses by name, with its exit code and no stack trace, runs nothing of the folder, and leaves folder and remote as they were';

const differences = (before: ReadonlyMap<string, string>, after: ReadonlyMap<string, string>): readonly string[] => [
  ...[...after].filter(([path, hash]) => before.get(path) !== hash).map(([path]) => `${path} was changed or made`),
  ...[...before.keys()].filter((path) => !after.has(path)).map((path) => `${path} was removed`),
];

/** Everything but the person's own home, where dryfit keeps its cache. */
const seen = ({ state, bare }: GitScene): ReadonlyMap<string, string> =>
  new Map([...contentOf(state), ...[...contentOf(bare)].map(([path, hash]) => [`bare: ${path}`, hash] as const)]);

/** What git itself runs of the folder, in the steps in which a person would share it. */
const runsByGit = (scene: GitScene): boolean => {
  const steps = [
    ['add', '--all'],
    ['commit', '--quiet', '--message', 'x'],
    ['pull', '--quiet', '--no-rebase', '--no-edit'],
    ['push', '--quiet'],
    ['diff', 'HEAD~1'],
  ];
  const env = { PATH: process.env['PATH'], HOME: scene.home, GIT_CONFIG_NOSYSTEM: '1', GIT_TERMINAL_PROMPT: '0' };
  for (const step of steps) spawnSync('git', step, { cwd: scene.state, env, stdio: 'ignore', timeout: 5000 });
  return existsSync(scene.marker);
};

const judge = async (root: string, scene: GitScene, { plant, names, code }: HostileGit): Promise<readonly string[]> => {
  plant(scene);
  const before = seen(scene);
  const ran = await runProgram(root, scene, 'sync', '--state', scene.state);
  return [
    ...(existsSync(scene.marker) ? ['what the folder brought was run'] : []),
    ...(ran.code === (code ?? 3) ? [] : [`exit code ${ran.code}: ${ran.err}${ran.out}`]),
    ...(names.test(ran.err) ? [] : [`not named: ${ran.err}`]),
    ...(/\n {4}at |bug:/.test(ran.err) ? [`a stack trace: ${ran.err}`] : []),
    ...differences(before, seen(scene)),
  ];
};

/** @param root the project's folder, with the built program in it. */
export const hostileGitFolders =
  (root: string): Campaign =>
  async ({ every }) => {
    const made = await madeOnce(root);
    const cases = Object.entries(hostileGits).filter((_, index) => index % every === 0);
    // in a full run, git itself is asked what it would have run, to see that the cases are not harmless ones
    const asked = every === 1 ? cases.map(([name, { plant }]) => [name, plant] as const) : [];
    try {
      const harmful = asked.filter(([, plant]) => {
        const scene = made.copy();
        plant(scene);
        return runsByGit(scene);
      });
      const what = `git folders that were handed over${every === 1 ? ` (git alone runs a program in ${harmful.length})` : ''}`;
      const { add, told } = tally(what, law);
      for (let at = 0; at < cases.length; at += 2)
        await Promise.all(
          cases.slice(at, at + 2).map(async ([name, one]) => {
            add(name, await judge(root, made.copy(), one));
          }),
        );
      return told();
    } finally {
      made.end();
    }
  };
