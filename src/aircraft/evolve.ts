import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { msOf } from '../job/cure.ts';
import { writerOfEntry, type Entry, type EntryOf, type JobEntry } from '../job/entry.ts';
import { evolveJob, moveJob, withOpenedItems } from '../job/evolve.ts';
import { isJobVerb, type BuildVerb } from '../job/verbs.ts';
import type { LineType } from '../job/line-types.ts';
import { planFor } from '../procedure/plan.ts';
import type { Evolve, Folding } from './acts/act.ts';
import { buildActs } from './acts/all.ts';
import { evolveBuildFile } from './acts/build-file.ts';
import { evolveCorrectedInBuild } from './correcting.ts';
import { evolveKey, evolveRecovery, keyBrought } from './acts/key.ts';
import { withDoubt, withTrouble } from './clock.ts';
import { endedSigner, refusedHere } from './concurrent.ts';
import { withContradiction } from './contradictions.ts';
import { withDraws } from './draws.ts';
import { jobIn, jobsWithKey, withJob, type Keys } from './jobs.ts';
import { withDoubted } from './keys.ts';
import type { Library } from './library.ts';
import { counting } from './numbers.ts';
import { jobsWith, withValue, type BuildState } from './state.ts';
import { withOpenTwins } from './twins.ts';
import { withTypedTemperatures } from './temperatures.ts';
import { leavesLoose } from './traits.ts';

/** A step that is left for later again keeps its tag. */
const isNewTag = (before: BuildState, entry: Entry): boolean =>
  entry.type === 'loose' ||
  (entry.type === 'skip' && jobIn(before.jobs, entry.job)?.loose.some((item) => item.tag === entry.data.tag) !== true);

const numbered = (before: BuildState, state: BuildState, entry: Entry): BuildState => {
  if (entry.type === 'mix') return counting(state, 'batches', writerOfEntry(entry));
  return isNewTag(before, entry) ? counting(state, 'tags', writerOfEntry(entry)) : state;
};

/** Undoing a step opens again what it had closed, also the loose items that other jobs left. */
const withItemsOfOthers = (before: BuildState, state: BuildState, entry: JobEntry): BuildState => {
  const job = jobIn(state.jobs, entry.job);
  const closings = job?.closings.filter((closing) => closing.superseded === entry.id) ?? [];
  if (!job || closings.length === 0) return state;
  const tags = new Set(closings.map((closing) => closing.tag));
  const owners = jobsWith(before, leavesLoose).filter(
    (one) => one.id !== job.id && one.loose.some((item) => tags.has(item.tag)),
  );
  return owners.reduce((after, owner) => {
    const opened = withOpenedItems(owner, job, entry);
    return { ...after, jobs: withJob(after.jobs, opened) };
  }, state);
};

const tags: Keys = { of: ({ loose }) => loose.map(({ tag }) => tag), trait: leavesLoose };

/**
 * The jobs that an entry changes. A loose item may be closed by another job than the one that left it, and then both jobs keep the closing.
 */
const jobsTouched = (state: BuildState, entry: Entry): readonly string[] => {
  if (entry.type === 'correct') {
    const { entry: target } = entry.data;
    const line = jobIn(state.jobs, entry.job)?.log.find((one) => one.entry === target);
    if (line?.type !== 'close') return [entry.job];
    const owners = jobsWith(state, leavesLoose).filter(
      ({ id, loose }) => id !== entry.job && loose.some(({ closings }) => closings.some((one) => one.entry === target)),
    );
    return [entry.job, ...owners.map(({ id }) => id)];
  }
  if (entry.type !== 'close') return [entry.job];
  const { tag } = entry.data;
  const leavers = jobsWithKey(state.jobs, tag, tags, state.file).map(({ id }) => id);
  // Where machines have given one tag twice, the job that was started first is meant.
  const owner = leavers.length > 1 ? state.jobOrder.find((id) => leavers.includes(id)) : leavers[0];
  return owner === undefined || owner === entry.job ? [entry.job] : [entry.job, owner];
};

const jobUnknown = (entry: Entry, id: string): Fault =>
  wrong(
    'job-unknown',
    `entry ${entry.id} names a job that was never started: ${id}`,
    'restore the journal line that started it',
  );

const evolveInJob = (state: BuildState, entry: Exclude<JobEntry, EntryOf<'move'>>): Outcome<BuildState> => {
  if (entry.type === 'correct' && entry.job === '') return ok(evolveCorrectedInBuild(state, entry));
  let after = state;
  for (const id of jobsTouched(state, entry)) {
    const job = jobIn(after.jobs, id);
    if (!job) return err(jobUnknown(entry, id));
    const next = evolveJob(job, entry);
    after = withDraws({ ...after, jobs: withJob(after.jobs, next) }, next, entry);
  }
  const typed = withTypedTemperatures(withItemsOfOthers(state, after, entry), entry);
  return ok(numbered(state, withOpenTwins(typed, entry), entry));
};

/** Puts a job on another revision, whose text the library supplies. */
const evolveMoved = (state: BuildState, entry: EntryOf<'move'>, library: Library): Outcome<BuildState> => {
  const job = jobIn(state.jobs, entry.job);
  if (!job) return err(jobUnknown(entry, entry.job));
  const procedure = library.procedure(entry.data.sha256);
  if (!procedure.ok) return procedure;
  const moved = moveJob(job, entry, planFor(procedure.value, job.side));
  return ok({ ...state, jobs: withJob(state.jobs, moved) });
};

const ofBuild = {
  key: evolveKey,
  recovery: evolveRecovery,
  build: evolveBuildFile,
} as const satisfies { readonly [L in Exclude<LineType, BuildVerb | JobEntry['type']>]: Evolve<L> };

const isJobEntry = (entry: Entry): entry is JobEntry => isJobVerb(entry.type);

const evolveOne = (state: BuildState, entry: Entry, folding: Folding): Outcome<BuildState> => {
  if (entry.type === 'move') return evolveMoved(state, entry, folding.library);
  if (isJobEntry(entry)) return evolveInJob(state, entry);
  if (entry.type === 'key') return ofBuild.key(state, entry, folding);
  if (entry.type === 'recovery') return ofBuild.recovery(state, entry, folding);
  if (entry.type === 'build') return ofBuild.build(state, entry, folding);
  // The table has for each verb of the build the act of that very verb, which the compiler cannot follow.
  const evolve = buildActs[entry.type].evolve as Evolve<BuildVerb>;
  return evolve(state, entry as EntryOf<BuildVerb>, folding);
};

const applying = (library: Library): Folding => {
  const folding: Folding = { library, apply: (state, entry) => evolveOne(state, entry as Entry, folding) };
  return folding;
};

/**
 * What a refused entry does all the same. A start still begins its job, because later entries of the job need it; a key still becomes
 * known, because later lines are signed with it.
 */
const evolveRefused = (state: BuildState, entry: Entry, folding: Folding): Outcome<BuildState> => {
  if (entry.type === 'start') return evolveOne(state, entry, folding);
  if (entry.type !== 'key' && entry.type !== 'recovery') return ok(state);
  const known = keyBrought(entry);
  return known.ok ? ok(withDoubted(state, entry, known.value, endedSigner(state, entry)?.ended ?? entry.id)) : known;
};

/** Applies an entry, or keeps it as a contradiction where the rules refuse it because of what other machines wrote at the same time. */
const evolveHere = (state: BuildState, entry: Entry, library: Library): Outcome<BuildState> => {
  const folding = applying(library);
  const refused = refusedHere(state, entry, library);
  if (refused === undefined) return evolveOne(state, entry, folding);
  const after = evolveRefused(state, entry, folding);
  return after.ok ? ok(withContradiction(after.value, entry, refused)) : after;
};

/** Updates what every entry changes: the count of entries, the time of the last one, and whether the clock can be believed. */
const counted = (before: BuildState, after: BuildState, entry: Entry): BuildState => {
  const at = msOf(entry.at);
  return {
    ...withTrouble(before, after, entry),
    build: before.entries === 0 ? entry.hash : after.build,
    entries: before.entries + 1,
    lastAt: at,
    written: withValue(before.written, writerOfEntry(entry), at),
    heads: withValue(before.heads, writerOfEntry(entry), entry.hash),
  };
};

/**
 * The build after an entry. A written entry is never refused here. Where a procedure text is missing, the fold stops and names it, and
 * never skips the entry. Entries have been read by `readEntry`, so their data has the shapes of their type.
 */
export const evolveBuild = (state: BuildState, entry: Entry, library: Library): Outcome<BuildState> => {
  const after = evolveHere(state, withDoubt(state, entry), library);
  return after.ok ? ok(counted(state, after.value, entry)) : after;
};
