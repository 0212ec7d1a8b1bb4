import { mkdtempSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { ok, type Outcome } from '../../fault/fault.ts';
import type { Disk } from '../../store/disk.ts';
import { onDisk } from '../../store/disk-fault.ts';
import { inState, stateFolders } from '../../store/layout.ts';
import { readFile } from '../../store/read-file.ts';
import { publishFolder } from '../../store/record-folder.ts';
import { recordFolderOf, stateFile } from '../../store/state-files.ts';
import { writeFile } from '../../store/write-file.ts';

/** Files that came from elsewhere and are not in the state yet: by their path in the state, where each lies meanwhile. */
export type Staged = ReadonlyMap<string, string>;

/** Lays a file aside in the scratch folder. */
export const stageIn = (scratch: string) => {
  const folder = mkdtempSync(join(scratch, 'staged-'));
  let count = 0;
  return (content: Uint8Array): string => {
    const path = join(folder, String((count += 1)));
    writeFileSync(path, content);
    return path;
  };
};

/** The disk as it will be once the staged files are in the state. Only for reading. */
export const diskWith = (disk: Disk, state: string, staged: Staged): Disk => {
  const byPath = new Map([...staged].map(([path, at]) => [inState(state, path), at]));
  const names = new Map<string, Set<string>>();
  for (const path of byPath.keys())
    for (let at = path; at.length > state.length; at = dirname(at)) {
      const inside = names.get(dirname(at)) ?? new Set<string>();
      names.set(dirname(at), inside.add(basename(at)));
    }
  return {
    ...disk,
    open: (path, how, mode) => disk.open(how.startsWith('read') ? (byPath.get(path) ?? path) : path, how, mode),
    look: (path) => disk.look(byPath.get(path) ?? path) ?? (names.has(path) ? disk.look(dirname(state)) : undefined),
    list: (path) => [...new Set([...disk.list(path), ...(names.get(path) ?? [])])].toSorted(),
  };
};

/** In bytes; the largest that may be staged. */
export const largestStaged = 1024 ** 3;

const contentOf = (disk: Disk, at: string, path: string): Outcome<Uint8Array> =>
  readFile(disk, at, { where: path, limit: largestStaged });

/** What others name is written before what names it. */
const order: readonly string[] = [
  stateFolders.attachments,
  stateFolders.procedures,
  stateFolders.builds,
  stateFolders.torn,
  '',
  stateFolders.journal,
];

const rankOf = (path: string): number => order.indexOf(path.includes('/') ? (path.split('/')[0] ?? '') : '');

const publishRecords = (disk: Disk, state: string, staged: Staged): Outcome<void> => {
  const folders = new Map<string, Map<string, string>>();
  for (const [path, at] of staged) {
    const file = stateFile(path);
    if (file?.kind !== 'record') continue;
    const folder = recordFolderOf(file.job, file.number);
    folders.set(folder, (folders.get(folder) ?? new Map<string, string>()).set(file.name, at));
  }
  for (const [folder, files] of folders) {
    const contents = new Map<string, Uint8Array>();
    for (const [name, at] of files) {
      const content = contentOf(disk, at, name);
      if (!content.ok) return content;
      contents.set(name, content.value);
    }
    const there = onDisk(folder, () => disk.look(inState(state, folder)));
    if (!there.ok) return there;
    if (there.value === undefined) {
      const published = publishFolder(disk, state, folder, contents);
      if (!published.ok) return published;
      continue;
    }
    for (const [name, content] of contents) {
      const where = `${folder}/${name}`;
      const written = writeFile(disk, inState(state, where), content, { where });
      if (!written.ok) return written;
    }
  }
  return ok(undefined);
};

/**
 * Puts the staged files into the state, each whole or not at all. After a kill anywhere the next sync goes on.
 * @param replaced folders of records that give way.
 */
export const bringIn = (disk: Disk, state: string, staged: Staged, replaced: readonly string[]): Outcome<void> => {
  const paths = [...staged].filter(([path]) => stateFile(path)?.kind !== 'record');
  for (const [path, at] of paths.toSorted(([a], [b]) => rankOf(a) - rankOf(b))) {
    const content = contentOf(disk, at, path);
    const written = content.ok ? writeFile(disk, inState(state, path), content.value, { where: path }) : content;
    if (!written.ok) return written;
  }
  for (const folder of replaced) {
    const removed = onDisk(folder, () => disk.remove(inState(state, folder)));
    if (!removed.ok) return removed;
  }
  return publishRecords(disk, state, staged);
};
