import { evolveBuild } from '../../src/aircraft/evolve.ts';
import type { Library } from '../../src/aircraft/library.ts';
import type { BuildState } from '../../src/aircraft/state.ts';
import type { Outcome } from '../../src/fault/fault.ts';
import type { Entry, RawEntry } from '../../src/job/entry.ts';
import { readEntry } from '../../src/job/parse.ts';

/** Reads a line as from a journal. Throws where dryfit never writes such a line. */
export const entryFrom = (raw: RawEntry): Entry => {
  const read = readEntry(raw);
  if (!read.ok) throw new Error(read.fault.what);
  return read.value;
};

/** Reads and applies a line, as folding the journal does. */
export const evolveRaw = (state: BuildState, raw: RawEntry, library: Library): Outcome<BuildState> => {
  const read = readEntry(raw);
  return read.ok ? evolveBuild(state, read.value, library) : read;
};
