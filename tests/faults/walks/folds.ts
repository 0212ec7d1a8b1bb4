import { isDeepStrictEqual } from 'node:util';
import { evolveBuild } from '../../../src/aircraft/evolve.ts';
import { serialize, restore } from '../../../src/aircraft/snapshot.ts';
import { jobsOf, type BuildState } from '../../../src/aircraft/state.ts';
import type { Data } from '../../../src/job/entry.ts';
import { readEntry } from '../../../src/job/parse.ts';
import { sameRecord, type Recorded } from './records.ts';
import type { WalkBuild } from './walk-build.ts';

/* The law for folds: from a snapshot taken anywhere, the rest of the journal gives the build that the whole journal gives. */

const restored = (state: BuildState): BuildState => {
  const lines = serialize(state);
  return restore((number) => lines[number] ?? '');
};

/** All of a build as plain data. Jobs of a snapshot are read when somebody asks for them, so they are asked for here. */
const plain = (state: BuildState): unknown => ({
  ...state,
  jobs: jobsOf(state).map((job) => ({ ...job, plan: job.plan.steps.length })),
});

/**
 * @param from the state when the snapshot was taken.
 * @param at how many lines the journal had then.
 * @param records what the walk's own fold recorded after that.
 */
export const foldLaw = (
  build: WalkBuild,
  from: BuildState,
  at: number,
  records: readonly Recorded[],
): readonly string[] => {
  let state = restored(from);
  const broken: string[] = [];
  for (const entry of build.entries().slice(at)) {
    // Read again from the text of a line, as on the disk.
    const line = JSON.parse(JSON.stringify(entry)) as typeof entry & { readonly data: Data };
    const read = readEntry(line);
    const after = read.ok ? evolveBuild(state, read.value, build.library) : read;
    if (!after.ok) return [`${entry.id} cannot be folded from a snapshot: ${after.fault.what}`];
    state = after.value;
    for (const one of records) if (one.entry.id === entry.id) broken.push(...sameRecord(state, one));
  }
  return isDeepStrictEqual(plain(state), plain(build.state()))
    ? broken
    : [...broken, `the fold from line ${at} on differs from the whole fold`];
};
