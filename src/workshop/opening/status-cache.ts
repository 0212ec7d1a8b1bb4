import type { BuildStatus } from '../../aircraft/status.ts';
import type { Facts } from '../../store/disk.ts';
import { isStill, keep, keptPath, fileNamesIn, readKept } from '../../store/opening-files.ts';
import type { OpenState } from '../open-state.ts';
import type { Workplace } from '../place.ts';

/*
 * `status` is asked for all day, by prompts and scripts, and must not read procedures and fold a journal each time. What it
 * said last is kept in the cache folder, beside what the files looked like that it was said of. Anything touched since, or
 * another program, and it is worked out anew.
 */

interface Kept {
  readonly program: string;
  readonly files: readonly (readonly [string, Facts])[];
  /** When it was worked out, ms. */
  readonly at: number;
  readonly status: BuildStatus;
}

const isKept = (value: unknown): value is Kept =>
  typeof value === 'object' && value !== null && 'program' in value && 'files' in value && 'at' in value;

const pathOf = ({ disk, cache, state }: Workplace): string => keptPath(cache, disk.real(state), 'status');

/** What was said of exactly these files before, and when; nothing where the clock stands before that. */
export const keptStatus = (place: Workplace): { readonly at: number; readonly status: BuildStatus } | undefined => {
  const { disk, state, program } = place;
  if (program === undefined || disk.look(state) === undefined) return undefined;
  try {
    const read = readKept(disk, pathOf(place));
    const kept: unknown = read && JSON.parse(read.toString('utf8'));
    if (!isKept(kept) || kept.program !== program || kept.at > place.wall()) return undefined;
    // a name in `journal/` that is no writer's file is told each time
    const isPlain = fileNamesIn(disk, state).unread.length === 0;
    return isPlain && isStill(disk, state, new Map(kept.files)) ? kept : undefined;
  } catch {
    return undefined; // whatever lies in the cache folder, or cannot be read: the status is worked out
  }
};

/** Keeps it for the next time. Where that fails nothing is lost but time. */
export const keepStatus = ({ place, watched, isWhole }: OpenState, status: BuildStatus, at: number): void => {
  if (place.program === undefined || !isWhole) return;
  const kept: Kept = { program: place.program, files: [...watched], at, status };
  keep(place.disk, pathOf(place), JSON.stringify(kept));
};
