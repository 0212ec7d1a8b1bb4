import { createHash } from 'node:crypto';
import { join } from 'node:path';
import type { BuildStatus } from '../build/status.ts';
import { sha256Hex } from '../proof/hash.ts';
import { inState, stateFolders } from '../store/layout.ts';
import { readFile, readText } from '../store/read-file.ts';
import { writeFile } from '../store/write-file.ts';
import type { Place } from './place.ts';

/*
 * `status` is asked for all day, by prompts and scripts, and must not read procedures and fold a journal each time. What it
 * said last is kept in the cache folder, beside the hash of the very bytes of the journal that it was said of. Anything else
 * in the journal, or another program, and it is worked out anew.
 */

interface Kept {
  /** Of the journal's bytes, and the program that worked it out. */
  readonly of: string;
  /** When it was worked out, ms. */
  readonly at: number;
  readonly status: BuildStatus;
}

const limit = 64 * 1024 * 1024;
/** A journal beyond this is folded each time; bytes. */
const largestJournal = 256 * 1024 * 1024;

const keptPath = ({ disk, cache, state }: Place): string =>
  join(cache, 'status', `${sha256Hex(disk.real(state)).slice(0, 32)}.json`);

/** The hash of every file in `journal/`, names and bytes; `undefined` where there is none, or one cannot be read. */
const journalDigest = ({ disk, state, program }: Place): string | undefined => {
  const names = disk.list(inState(state, stateFolders.journal));
  if (program === undefined || names.length === 0) return undefined;
  const digest = createHash('sha256').update(program);
  for (const name of names) {
    const path = `${stateFolders.journal}/${name}`;
    const bytes = readFile(disk, inState(state, path), { where: path, limit: largestJournal });
    if (!bytes.ok) return undefined;
    digest.update(`\n${name} ${bytes.value.length}\n`).update(bytes.value);
  }
  return digest.digest('hex');
};

const isKept = (value: unknown): value is Kept =>
  typeof value === 'object' && value !== null && 'of' in value && 'at' in value && 'status' in value;

const parse = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
};

/** What was said of exactly this journal before, and when; nothing where the clock stands before that. */
export const keptStatus = (place: Place): { readonly at: number; readonly status: BuildStatus } | undefined => {
  if (place.disk.look(place.state) === undefined) return undefined;
  const digest = journalDigest(place);
  if (digest === undefined) return undefined;
  const path = keptPath(place);
  const text = readText(place.disk, path, { where: path, limit });
  const kept = text.ok ? parse(text.value) : undefined;
  return isKept(kept) && kept.of === digest && kept.at <= place.wall() ? kept : undefined;
};

/** Keeps it for the next time. Where that fails nothing is lost but time. */
export const keepStatus = (place: Place, status: BuildStatus, at: number): void => {
  const of = journalDigest(place);
  if (of === undefined) return;
  const path = keptPath(place);
  const kept: Kept = { of, at, status };
  writeFile(place.disk, path, JSON.stringify(kept), { where: path, mode: 0o600, folderMode: 0o700 });
};
