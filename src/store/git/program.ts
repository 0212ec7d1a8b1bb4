import { accessSync, constants, statSync } from 'node:fs';
import { platform } from 'node:os';
import { delimiter, isAbsolute, join } from 'node:path';
import { err, ok, wrong, type Outcome } from '../../fault/fault.ts';

export type ProgramVariables = Readonly<Record<string, string | undefined>>;

const isProgram = (path: string): boolean => {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false;
  }
};

/** The folders of PATH. A relative one is left out, because in a received folder it would lead to a program of that folder. */
const programFolders = (variables: ProgramVariables): readonly string[] =>
  (variables['PATH'] ?? '').split(delimiter).filter((folder) => isAbsolute(folder));

/** PATH without its relative folders. */
export const safePath = (variables: ProgramVariables): string => programFolders(variables).join(delimiter);

/** The full path of the person's git. Code `git-missing`. */
export const findGit = (variables: ProgramVariables): Outcome<string> => {
  const name = platform() === 'win32' ? 'git.exe' : 'git';
  const path = programFolders(variables)
    .map((folder) => join(folder, name))
    .find(isProgram);
  return path === undefined
    ? err(wrong('git-missing', 'git is not installed here', 'Install git, or bring the files together another way'))
    : ok(path);
};

/** The oldest git that `sync` works with: from here on it says where each setting comes from, and checks who owns a repository. */
export const oldestGit = [2, 30] as const;

/** Whether the text of `git version` names a git that is new enough. Code `git-old`. */
export const newEnough = (text: string): Outcome<true> => {
  const [, major, minor] = /^git version (\d+)\.(\d+)/.exec(text) ?? [];
  const [wantedMajor, wantedMinor] = oldestGit;
  const isEnough = Number(major) > wantedMajor || (Number(major) === wantedMajor && Number(minor) >= wantedMinor);
  return isEnough
    ? ok(true)
    : err(
        wrong(
          'git-old',
          `this is ${text.trim() || 'a git without a version'}, and sync needs git ${oldestGit.join('.')} or later`,
          'Install a newer git, or bring the files together another way',
        ),
      );
};
