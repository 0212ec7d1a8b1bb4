import { closeSync, fstatSync, openSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { looksLikeScript } from '../../procedure/first-key.ts';
import { largestFile } from '../../procedure/yaml/bytes.ts';

/*
 * The files of a procedures folder before anything in them is read. `status` looks at these alone, so nothing here needs the reader of
 * procedures.
 */

/** How the name of a procedure's file ends. */
export const ending = '.yaml';

/** What a path names, or `undefined` where nothing has that name. */
export const kindAt = (path: string): 'file' | 'folder' | 'other' | undefined => {
  const facts = statSync(path, { throwIfNoEntry: false });
  if (facts === undefined) return undefined;
  return facts.isFile() ? 'file' : facts.isDirectory() ? 'folder' : 'other';
};

/** The names `*.yaml` in a folder, sorted, without hidden files, which editors leave. Throws where the folder cannot be read. */
export const yamlNames = (folder: string): readonly string[] =>
  readdirSync(folder)
    .filter((name) => name.endsWith(ending) && !name.startsWith('.'))
    .toSorted();

/** Scripts are kept among the procedures, but are not procedures. */
export const isScript = (bytes: Uint8Array): boolean =>
  looksLikeScript(Buffer.from(bytes.subarray(0, 64 * 1024)).toString('utf8'));

/** The bytes of a regular file; where it is larger than anything that dryfit reads, its size in bytes. */
export const boundedBytes = (path: string): Uint8Array | number => {
  // The size is that of the open file, so that it belongs to the file that is read.
  const file = openSync(path, 'r');
  try {
    const { size } = fstatSync(file);
    return size > largestFile ? size : readFileSync(file);
  } finally {
    closeSync(file);
  }
};
