import { join } from 'node:path';
import type { Outcome } from '../../fault/fault.ts';
import { canonicalJson, isJsonObject, parseCanonicalLine } from '../../proof/canonical.ts';
import { isHash, sha256Hex } from '../../proof/hash.ts';
import type { Disk } from '../disk.ts';
import { readText } from '../read-file.ts';
import { writeFile } from '../write-file.ts';

/*
 * What a person has confirmed of a repository: by its real path, in their own configuration folder, a hash for each name. The
 * received folder cannot reach it, and whatever changes in what was confirmed has another hash and is asked about again.
 */

/** By the finding's name. */
export type ConfirmedHashes = Readonly<Record<string, string>>;

const limit = 1024 * 1024;

const pathFor = (config: string, gitDir: string): string =>
  join(config, 'repositories', `${sha256Hex(gitDir).slice(0, 32)}.json`);

/** Nothing where there is no memory, or where it cannot be read: then `sync` asks the person again. */
export const recallConfirmed = (disk: Disk, config: string, gitDir: string): ConfirmedHashes => {
  const path = pathFor(config, gitDir);
  const text = readText(disk, path, { where: path, limit });
  const json = text.ok ? parseCanonicalLine(text.value.trimEnd()) : text;
  if (!json.ok || !isJsonObject(json.value)) return {};
  const { repository, confirmed } = json.value;
  if (repository !== gitDir || confirmed === undefined || !isJsonObject(confirmed)) return {};
  return Object.fromEntries(
    Object.entries(confirmed).flatMap(([name, hash]) =>
      typeof hash === 'string' && isHash(hash) ? [[name, hash] as const] : [],
    ),
  );
};

/** Remembers all that is confirmed of a repository. Codes `disk-…`. */
export const rememberConfirmed = (
  disk: Disk,
  config: string,
  gitDir: string,
  confirmed: ConfirmedHashes,
): Outcome<void> => {
  const path = pathFor(config, gitDir);
  const text = `${canonicalJson({ confirmed, repository: gitDir })}\n`;
  return writeFile(disk, path, text, { where: path, mode: 0o600, folderMode: 0o700 });
};
