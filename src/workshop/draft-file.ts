import type { Outcome } from '../fault/fault.ts';
import { hashedLimits } from '../store/hashed-file.ts';
import { inState, stateFiles } from '../store/layout.ts';
import { readText } from '../store/read-file.ts';
import { writeFile } from '../store/write-file.ts';
import type { Workplace } from './place.ts';

/*
 * build.yaml in the state folder. People edit it by hand; it is a draft until it is taken in (`draft.ts`).
 */

const where = stateFiles.draft;
const pathOf = ({ state }: Workplace): string => inState(state, where);

export const hasDraft = (place: Workplace): boolean => place.disk.look(pathOf(place)) !== undefined;

export const readDraftText = (place: Workplace): Outcome<string> =>
  readText(place.disk, pathOf(place), { where, limit: hashedLimits.builds });

/** Writes `build.yaml`. It is taken in with the next entry, or at once by `takeInDraft`. */
export const writeDraft = (place: Workplace, content: Uint8Array | string): Outcome<void> =>
  writeFile(place.disk, pathOf(place), content, { where });
