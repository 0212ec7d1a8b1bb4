import type { BuildStatus } from '../../aircraft/status.ts';
import type { Facts } from '../../store/disk.ts';
import { isStill, keep, keptPath, fileNamesIn, readKept } from '../../store/opening-files.ts';
import { sha256Hex } from '../../proof/hash.ts';
import { hasDraft, readDraftText } from '../draft-file.ts';
import type { OpenState } from '../open-state.ts';
import type { Workplace } from '../place.ts';

/*
 * Prompts and scripts ask for `status` all day, so it must not read the procedures and fold the journal each time. The last
 * status is kept in the cache folder with the facts of the files that it was made from. It is made anew where a file was touched
 * or the program is another.
 */

interface Kept {
  readonly program: string;
  readonly files: readonly (readonly [string, Facts])[];
  /** When it was made, in ms since 1970. */
  readonly at: number;
  readonly status: BuildStatus;
  /** SHA-256 of the build.yaml in force: a draft that differs is read each time, because it may have a slip. */
  readonly draft: string;
}

const isKept = (value: unknown): value is Kept =>
  typeof value === 'object' && value !== null && 'program' in value && 'files' in value && 'at' in value;

const isDraft = (place: Workplace, sha256: string): boolean => {
  const text = hasDraft(place) ? readDraftText(place) : undefined;
  return text === undefined || (text.ok && sha256Hex(text.value) === sha256);
};

const pathOf = ({ disk, cache, state }: Workplace): string => keptPath(cache, disk.real(state), 'status');

/** The status that was made from exactly these files, and when. `undefined` where the clock is now before that time. */
export const keptStatus = (place: Workplace): { readonly at: number; readonly status: BuildStatus } | undefined => {
  const { disk, state, program } = place;
  if (program === undefined || disk.look(state) === undefined) return undefined;
  try {
    const read = readKept(disk, pathOf(place));
    const kept: unknown = read && JSON.parse(read.toString('utf8'));
    if (!isKept(kept) || kept.program !== program || kept.at > place.wall()) return undefined;
    // a file in `journal/` that is not a writer's own is reported each time
    const isPlain = fileNamesIn(disk, state).unread.length === 0;
    return isPlain && isDraft(place, kept.draft) && isStill(disk, state, new Map(kept.files)) ? kept : undefined;
  } catch {
    return undefined; // the cache is damaged or cannot be read, so the status is made anew
  }
};

/** Keeps a status for the next time. `at` is in ms since 1970. Where that fails only time is lost. */
export const keepStatus = ({ place, watched, isWhole, state }: OpenState, status: BuildStatus, at: number): void => {
  if (place.program === undefined || !isWhole) return;
  const kept: Kept = { program: place.program, files: [...watched], at, status, draft: state.fileSha256 };
  keep(place.disk, pathOf(place), JSON.stringify(kept));
};
