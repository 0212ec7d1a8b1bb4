import { basename, join } from 'node:path';
import { onDisk } from '../../store/disk-fault.ts';
import type { Workplace } from '../place.ts';
import { boundedBytes, ending, isScript, kindAt, yamlNames } from './folder-files.ts';

const isPage = (path: string): boolean => {
  const bytes = onDisk(path, () => (kindAt(path) === 'file' ? boundedBytes(path) : 0));
  return bytes.ok && typeof bytes.value !== 'number' && !isScript(bytes.value);
};

/**
 * The pages of the procedures folder that the plan in force does not know, by their ids. Only files with a new name are read.
 * @param known the ids of the pages that were taken in.
 */
export const newPages = ({ procedures }: Pick<Workplace, 'procedures'>, known: readonly string[]): readonly string[] => {
  if (kindAt(procedures) !== 'folder') return [];
  const ids = new Set(known);
  const names = onDisk(procedures, () => yamlNames(procedures));
  return (names.ok ? names.value : [])
    .map((name) => ({ id: basename(name, ending), path: join(procedures, name) }))
    .filter(({ id, path }) => !ids.has(id) && isPage(path))
    .map(({ id }) => id);
};
