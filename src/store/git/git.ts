import { copyFileSync, existsSync, mkdirSync, mkdtempSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { err, ok, wrong, type Outcome } from '../../fault/fault.ts';
import type { Disk } from '../disk.ts';
import { admit, rememberAdmitted } from './admit.ts';
import { findGit, newEnough, type ProgramVariables } from './program.ts';
import { repositoryOf, type GitFolder, type Repository } from './repository.ts';
import { callGit, type Calling } from './run.ts';
import { findingsIn, settingFindings, type Brought, type SettingsReader } from './findings.ts';
import type { Setting } from './settings.ts';

/** The person's own git, in the repository of one state. Nothing that the repository itself brings takes part, unless it was confirmed. */
export interface Git {
  readonly repository: Repository;
  /** A folder of this call alone, removed at its end. */
  readonly scratch: string;
  /** What git printed. Code `git`, with git's own message. */
  readonly run: (argv: readonly string[], more?: ProgramVariables) => Outcome<string>;
  readonly bytes: (argv: readonly string[], input?: Uint8Array | string, more?: ProgramVariables) => Outcome<Buffer>;
  /** The last value of a setting, as git sees it: the repository's own, where it is harmless or confirmed, else the person's. */
  readonly setting: (key: string) => string | undefined;
  /** All keys that are set. */
  readonly keys: readonly string[];
  /** What the repository brings, all of it confirmed. */
  readonly findings: readonly Brought[];
  /** Looks at a repository on this machine that is a remote, as at the state's own. Codes those of `admit`. */
  readonly admitRemote: (name: string, folder: GitFolder) => Outcome<readonly Brought[]>;
  /** Remembers what this call confirmed. Codes `disk-…`. */
  readonly remember: () => Outcome<void>;
  /** Settings that keep a program of git in another repository from running anything there. */
  readonly bare: string;
  readonly close: () => void;
}

/** What is needed to open it. */
export interface GitPlace {
  readonly disk: Disk;
  /** A real path. */
  readonly state: string;
  readonly config: string;
  readonly variables: ProgramVariables;
  /** True where a person is at a terminal, whom git may ask for a password. */
  readonly canAsk: boolean;
  /** The names that the person confirms with this call. */
  readonly confirms: readonly string[];
}

const settingsIn = (text: string): readonly Setting[] =>
  text
    .split('\0')
    .filter((one) => one !== '')
    .map((one) => {
      const end = one.indexOf('\n');
      return end === -1 ? { key: one, value: undefined } : { key: one.slice(0, end), value: one.slice(end + 1) };
    });

interface Scoped extends Setting {
  /** True where the person or the machine has set it, and not the repository. */
  readonly isOwn: boolean;
}

/** `scope NUL key LF value NUL …` */
const scopedIn = (text: string): readonly Scoped[] => {
  const parts = text.split('\0');
  const found: Scoped[] = [];
  for (let index = 0; index + 1 < parts.length; index += 2) {
    const [setting] = settingsIn(parts[index + 1] ?? '');
    if (setting) found.push({ ...setting, isOwn: ['system', 'global', 'command'].includes(parts[index] ?? '') });
  }
  return found;
};

/**
 * What git does where nobody says otherwise. The repository sets none of these unseen; they are given all the same, in case a
 * setting has more ways in than were looked at. What the person has set for themselves, or confirmed, is left to git.
 */
const neutral = (scratch: string): Readonly<Record<string, string>> => ({
  'core.hookspath': join(scratch, 'hooks'),
  'core.fsmonitor': 'false',
  'core.alternaterefscommand': ':',
  'core.usereplacerefs': 'false',
  'commit.gpgsign': 'false',
  'push.gpgsign': 'false',
  'protocol.ext.allow': 'never',
  'safe.barerepository': 'explicit',
  'submodule.recurse': 'false',
  'fetch.recursesubmodules': 'false',
  'push.recursesubmodules': 'no',
  'push.followtags': 'false',
  'fetch.fsckobjects': 'true',
  'transfer.bundleuri': 'false',
  'rerere.enabled': 'false',
});

const quoted = (text: string): string => `'${text.replaceAll("'", `'\\''`)}'`;

const asSettings = (values: Readonly<Record<string, string>>): readonly string[] =>
  Object.entries(values).flatMap(([key, value]) => ['-c', `${key}=${value}`]);

const text = (bytes: Outcome<Buffer>): Outcome<string> => (bytes.ok ? ok(bytes.value.toString('utf8')) : bytes);

/** git in a folder where there is no repository: for what has to be known before one is trusted. */
const outside = (calling: Calling, scratch: string) => {
  const nowhere = { GIT_DIR: join(scratch, 'none') };
  const readSettings: SettingsReader = (file) => {
    const argv = ['config', '--file', file, '--no-includes', '--null', '--list'];
    const listed = text(callGit({ ...calling, cwd: scratch }, argv, nowhere));
    return listed.ok ? ok(settingsIn(listed.value)) : err({ ...listed.fault, where: file });
  };
  return { version: () => text(callGit({ ...calling, cwd: scratch }, ['version'], nowhere)), readSettings };
};

/** git refuses a repository of another user, and must find the one that dryfit examined. */
const sameRepository = (calling: Calling, { gitDir, top }: Repository): Outcome<true> => {
  const found = text(callGit({ ...calling, cwd: top }, ['rev-parse', '--absolute-git-dir']));
  if (!found.ok) return found;
  const path = found.value.replace(/\n$/, '');
  return existsSync(path) && realpathSync(path) === realpathSync(gitDir)
    ? ok(true)
    : err(wrong('git-other', `git finds another repository, in ${path}`, 'Look at it with git rev-parse', gitDir));
};

const opened = (place: GitPlace, scratch: string): Outcome<Git> => {
  const { disk, config, variables, confirms } = place;
  const git = findGit(variables);
  if (!git.ok) return git;
  const ask = place.canAsk ? {} : { GIT_TERMINAL_PROMPT: '0' };
  const calling: Calling = { git: git.value, cwd: place.state, variables: { ...variables, ...ask }, settings: [] };
  const { version, readSettings } = outside(calling, scratch);
  const isNew = version();
  const fits = isNew.ok ? newEnough(isNew.value) : isNew;
  if (!fits.ok) return fits;
  const repository = repositoryOf(disk, place.state);
  if (!repository.ok) return repository;
  const { gitDir, common, top } = repository.value;
  const findings = findingsIn(disk, repository.value, readSettings, top);
  if (!findings.ok) return findings;
  const admission = { disk, config, confirms };
  const first = admit(admission, gitDir, findings.value);
  if (!first.ok) return first;
  const same = sameRepository({ ...calling, settings: asSettings(neutral(scratch)) }, repository.value);
  if (!same.ok) return same;
  const inside = { GIT_DIR: gitDir, GIT_WORK_TREE: top, ...(common === gitDir ? {} : { GIT_COMMON_DIR: common }) };
  const listed = text(callGit(calling, ['config', '--list', '--show-scope', '--null'], inside));
  if (!listed.ok) return listed;
  const settings = scopedIn(listed.value);
  const brought = settings.filter(({ isOwn }) => !isOwn);
  // git's own view: dryfit examines what a confirmed file includes, too
  const seen = [
    ...findings.value.filter(({ name }) => !brought.some(({ key }) => key === name)),
    ...settingFindings(brought, [top, gitDir, common]),
  ];
  const second = admit(admission, gitDir, seen);
  if (!second.ok) return second;
  const admitted = [...first.value, ...second.value];

  const isHookConfirmed = seen.some(({ name }) => name.startsWith('hooks/'));
  const isSet = (key: string): boolean =>
    settings.some((one) => one.key === key) || (key === 'core.hookspath' && isHookConfirmed);
  const values = Object.fromEntries(Object.entries(neutral(scratch)).filter(([key]) => !isSet(key)));
  const isUrlConfirmed = seen.some(({ name }) => /^remote\..*url$/.test(name));
  const protocols =
    isUrlConfirmed ||
    variables['GIT_ALLOW_PROTOCOL'] !== undefined ||
    settings.some(({ key }) => key.startsWith('protocol.'))
      ? {}
      : { GIT_ALLOW_PROTOCOL: 'file:git:http:https:ssh' };
  const within: Calling = { ...calling, settings: asSettings(values) };
  const bytes: Git['bytes'] = (argv, input, more = {}) =>
    callGit({ ...within, ...(input === undefined ? {} : { input }) }, argv, { ...inside, ...protocols, ...more });
  return ok({
    repository: repository.value,
    scratch,
    bytes,
    run: (argv, more) => text(bytes(argv, undefined, more)),
    setting: (key) => settings.findLast((one) => one.key === key)?.value,
    keys: settings.map(({ key }) => key),
    findings: seen,
    admitRemote: (name, folder) => {
      const there = findingsIn(disk, folder, readSettings);
      if (!there.ok) return there;
      const ours = there.value.map((one) => ({ ...one, name: `${name}: ${one.name}` }));
      const third = admit(admission, gitDir, [...seen, ...ours]);
      if (!third.ok) return third;
      admitted.push(...third.value);
      return ok(ours);
    },
    remember: () => rememberAdmitted(admission, gitDir, admitted),
    bare: [git.value, ...asSettings({ ...neutral(scratch), 'receive.autogc': 'false', 'receive.procreceiverefs': '' })]
      .map(quoted)
      .join(' '),
    close: () => undefined,
  });
};

/**
 * Opens the repository of a state, once dryfit has examined it without running anything of it.
 * Codes: `git-missing`, `git-old`, `git-none`, `git-settings` (a refusal that names what is not confirmed), `git-other`, `git-odd`, `git`.
 */
export const openGit = (place: GitPlace): Outcome<Git> => {
  const scratch = realpathSync(mkdtempSync(join(tmpdir(), 'dryfit-git-')));
  const close = (): void => rmSync(scratch, { recursive: true, force: true });
  mkdirSync(join(scratch, 'hooks'));
  const git = opened(place, scratch);
  if (!git.ok) close();
  return git.ok ? ok({ ...git.value, close }) : git;
};

/** A copy of the repository's index in the scratch folder, so that what the person has staged is neither shared nor lost. */
export const ownIndex = ({ scratch, repository }: Git, name: string): ProgramVariables => {
  const path = join(scratch, name);
  rmSync(path, { force: true });
  const index = join(repository.gitDir, 'index');
  if (existsSync(index)) copyFileSync(index, path);
  return { GIT_INDEX_FILE: path };
};
