import { lstatSync, readdirSync, readFileSync, readlinkSync, statSync, type Dirent } from 'node:fs';
import { join, relative, resolve, sep } from 'node:path';
import { err, ok, wrong, type Outcome } from '../../fault/fault.ts';
import { canonicalJson } from '../../proof/canonical.ts';
import { sha256Hex } from '../../proof/hash.ts';
import type { Disk } from '../disk.ts';
import { onDisk } from '../disk-fault.ts';
import type { GitFolder } from './repository.ts';
import { dangerOf, isHarmless, type Setting } from './settings.ts';

/*
 * What a repository brings that could run a program, take settings or data from elsewhere, or send them there. Each finding has a
 * name, by which a person confirms it once, and a hash over all that was confirmed: its value and the files that it names.
 */

export interface Brought {
  /** `core.hooksPath`, `hooks/pre-push`, `.git`; with `origin: ` before it where it is of a remote on this machine. */
  readonly name: string;
  /** What it says, in one line. */
  readonly value: string;
  readonly danger: string;
  readonly sha256: string;
}

/** How many names a repository may have; more are not gone through. */
const most = 500_000;
/** In bytes. */
const longestSettings = 1024 * 1024;
const longestProgram = 64 * 1024 * 1024;

const hashOf = (parts: Readonly<Record<string, string>>): string => sha256Hex(canonicalJson(parts));

const contentHash = (path: string): string => {
  const facts = lstatSync(path, { throwIfNoEntry: false });
  if (facts === undefined) return 'none';
  if (facts.isFile()) return facts.size > longestProgram ? `${facts.size} bytes` : sha256Hex(readFileSync(path));
  if (facts.isSymbolicLink()) {
    const behind = statSync(path, { throwIfNoEntry: false });
    const content = behind?.isFile() && behind.size <= longestProgram ? sha256Hex(readFileSync(path)) : '';
    return `link to ${readlinkSync(path)} ${content}`;
  }
  return facts.isDirectory()
    ? hashOf(Object.fromEntries(readdirSync(path).map((name) => [name, contentHash(join(path, name))])))
    : 'other';
};

/** The files of the folder itself that the words of a value name: what they hold is part of what is confirmed. */
const namedFiles = (value: string, folders: readonly string[]): Readonly<Record<string, string>> => {
  const words = [value, ...value.split(/[\s"'=;|&()]+/)].filter((word) => word !== '' && word.length < 4096);
  const found = words.flatMap((word) =>
    folders.flatMap((folder) => {
      const path = resolve(folder, word.replace(/^!/, ''));
      const isInside = path.startsWith(folder + sep) && path !== folder;
      const hash = isInside ? contentHash(path) : 'none';
      return hash === 'none' ? [] : [[path, hash] as const];
    }),
  );
  return Object.fromEntries(found);
};

const settingFinding = ({ key, value }: Setting, folders: readonly string[]): Brought => {
  const text = value ?? '';
  return {
    name: key,
    value: text,
    danger: dangerOf(key),
    sha256: hashOf({ key, value: text, ...namedFiles(text, folders) }),
  };
};

/** Settings that are not known to be harmless. Those of one name are one finding, so that none is confirmed unseen. */
export const settingFindings = (settings: readonly Setting[], folders: readonly string[]): readonly Brought[] => {
  const byName = new Map<string, Brought>();
  for (const setting of settings) {
    if (isHarmless(setting)) continue;
    const found = settingFinding(setting, folders);
    const before = byName.get(found.name);
    byName.set(
      found.name,
      before === undefined
        ? found
        : {
            ...found,
            value: `${before.value}, ${found.value}`,
            sha256: hashOf({ before: before.sha256, also: found.sha256 }),
          },
    );
  }
  return [...byName.values()];
};

const fileDangers: readonly (readonly [RegExp, string])[] = [
  [/^hooks\/(?!.*\.sample$)/, 'runs when git works'],
  [/^info\/attributes$/, 'sets rules for files'],
  [/^(info\/grafts|info\/sparse-checkout)$/, 'changes what git sees'],
  [/^objects\/info\/alternates$/, 'takes content from another repository'],
  [/^config\.worktree$/, 'holds more settings'],
  [/^(remotes|branches)\/./, 'names a remote in an old way'],
  [/^modules\/./, 'is a repository within this one'],
];

/** git's own sockets, which it makes anew. */
const isSocketOfGit = (path: string): boolean => /^fsmonitor--daemon(\.ipc|\/.*)$/.test(path);

const fileFinding = (root: string, path: string, entry: Dirent): Brought | undefined => {
  const full = join(root, path);
  if (entry.isSymbolicLink()) {
    const value = `link to ${readlinkSync(full)}`;
    return { name: path, value, danger: 'leads out of the repository', sha256: hashOf({ path, value }) };
  }
  const danger = fileDangers.find(([form]) => form.test(path))?.[1];
  if (danger === undefined || entry.isDirectory()) return undefined;
  return { name: path, value: '', danger, sha256: hashOf({ path, content: contentHash(full) }) };
};

/** Goes through a folder of git without following anything. Code `git-odd` for what would make git wait, or is too much. */
const walk = (root: string): Outcome<readonly Brought[]> => {
  const found: Brought[] = [];
  const waiting = [root];
  let count = 0;
  for (let folder = waiting.pop(); folder !== undefined; folder = waiting.pop()) {
    for (const entry of readdirSync(folder, { withFileTypes: true })) {
      const full = join(folder, entry.name);
      const path = relative(root, full).split(sep).join('/');
      count += 1;
      if (count > most) return err(wrong('git-large', `it has more than ${most} files`, 'Look at it with git', root));
      const plain = entry.isFile() || entry.isDirectory() || entry.isSymbolicLink() || isSocketOfGit(path);
      if (!plain) return err(wrong('git-odd', 'it is neither a file nor a folder', 'Remove it', full));
      const one = fileFinding(root, path, entry);
      if (one !== undefined) found.push(one);
      if (entry.isDirectory()) waiting.push(full);
    }
  }
  return ok(found.toSorted((a, b) => (a.name < b.name ? -1 : 1)));
};

/** Reads one file of settings without what it includes. Codes `git-settings`, `disk-…`. */
export type SettingsReader = (file: string) => Outcome<readonly Setting[]>;

/** Everything in a folder of git, and on the way to it, that is not known to be harmless. Runs nothing of it. */
export const findingsIn = (
  disk: Disk,
  { gitDir, common, detours }: GitFolder,
  readSettings: SettingsReader,
  top: string = common,
): Outcome<readonly Brought[]> => {
  const found: Brought[] = detours.map(({ name, value }) => ({
    name,
    value,
    danger: 'leads to a repository elsewhere',
    sha256: hashOf({ name, value }),
  }));
  for (const root of new Set([gitDir, common])) {
    const walked = onDisk(root, () => walk(root));
    const files = walked.ok ? walked.value : walked;
    if (!files.ok) return files;
    found.push(...files.value.filter(({ name }) => !(root !== common && name === 'commondir')));
  }
  const config = join(common, 'config');
  const there = onDisk(config, () => disk.look(config));
  if (!there.ok) return there;
  if (there.value === undefined) return ok(found);
  if (there.value.kind !== 'file') return ok(found); // a link is named already; a folder makes git fail by itself
  if (there.value.size > longestSettings)
    return err(wrong('git-large', 'a file of settings this large is not read', 'Look at it', config));
  const settings = readSettings(config);
  if (!settings.ok) return settings;
  const folders = [...new Set([top, gitDir, common])];
  return ok([...found, ...settingFindings(settings.value, folders)]);
};
