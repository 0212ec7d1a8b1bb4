import type { BuildState } from '../../aircraft/state.ts';
import { aroundOf } from '../../aircraft/surroundings.ts';
import type { JobState } from '../../job/state.ts';
import type { RecordDocument } from '../../record/document.ts';
import { recordOf, type RecordHead } from '../../record/record.ts';

const keysOf = (state: BuildState): Readonly<Record<string, readonly string[]>> =>
  Object.fromEntries(
    Object.entries(state.keys).map(([person, keys]) => [person, keys.map(({ fingerprint }) => fingerprint)]),
  );

/** A job's record from the build at `head`. Its time is that of the last entry, so it does not depend on a clock. */
export const recordIn = (
  state: BuildState,
  job: JobState,
  head: RecordHead,
  previous?: string,
  signer?: string,
): RecordDocument =>
  recordOf(
    job,
    aroundOf(state, job, state.lastAt),
    {
      build: state.build,
      scripted: state.scripted,
      aircraft: Object.entries(state.file.aircraft).map(([name, value]) => ({ name, value })),
      keys: keysOf(state),
      ...(state.fileSha256 === '' ? {} : { sha256: state.fileSha256 }),
    },
    head,
    previous,
    signer,
  );
