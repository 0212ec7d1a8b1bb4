import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { wantsSignature, type Power } from '../job/surroundings.ts';
import { msOf } from '../job/cure.ts';
import { happened, listOf, textOf, writerOfEntry, type Entry } from '../job/entry.ts';
import { evolveJob, isJobEntry, moveJob, startJob } from '../job/evolve.ts';
import { entryFlaw } from '../job/entry-flaw.ts';
import type { Procedure } from '../procedure/model.ts';
import { planFor, type Plan } from '../procedure/plan.ts';
import { readKeyLine } from '../proof/keys.ts';
import { evolveClock, withDoubt, withTrouble } from './clock.ts';
import { endedSigner, refusedHere } from './concurrent.ts';
import { evolveSettle, withContradiction } from './contradictions.ts';
import { withDraws } from './draws.ts';
import { bringsKey, withDoubted, withKey, withRecovery } from './keys.ts';
import type { Library } from './library.ts';
import { jobIn, withJob } from './jobs.ts';
import { counting } from './numbers.ts';
import { jobsOf, withValue, type BuildState, type KnownKey } from './state.ts';
import { evolveCorrectWarmth, evolveTemperature, evolveTemperatures, withTypedTemperatures } from './temperatures.ts';
import { own } from '../fault/own.ts';

type Evolver = (state: BuildState, entry: Entry, library: Library) => Outcome<BuildState>;

const accept = (state: BuildState, person: string, powers: readonly Power[]): BuildState['accepted'] =>
  withValue(state.accepted, person, [...new Set([...(own(state.accepted, person) ?? []), ...powers])]);

const knownKey = (entry: Entry): Outcome<KnownKey> => {
  const key = textOf(entry.data, 'key') ?? '';
  const read = readKeyLine(key);
  return read.ok ? ok({ key, fingerprint: read.value.fingerprint, entry: entry.id }) : read;
};

/** A person introduces a key. The first line of a build says whether it is scripted. */
const evolveKey: Evolver = (state, entry) => {
  const known = knownKey(entry);
  if (!known.ok) return known;
  const person = textOf(entry.data, 'person') ?? entry.by;
  const name = textOf(entry.data, 'name');
  return ok({
    ...withKey(state, entry, known.value),
    names: name === undefined ? state.names : withValue(state.names, person, name),
    accepted: accept(state, person, listOf(entry.data, 'powers').filter(wantsSignature)),
    scripted: state.entries === 0 ? entry.data['scripted'] === true : state.scripted,
  });
};

/** A person keeps a key elsewhere for the day on which theirs is lost. */
const evolveRecovery: Evolver = (state, entry) => {
  const known = knownKey(entry);
  return known.ok ? ok(withRecovery(state, entry, known.value)) : known;
};

/** A build.yaml is taken in: whoever signs beside it accepts the powers that it gives them. */
const evolveBuildFile: Evolver = (state, entry, library) => {
  const sha256 = textOf(entry.data, 'sha256') ?? '';
  const file = library.build(sha256);
  if (!file.ok) return file;
  const signers = [entry.by, ...entry.also];
  const accepted = signers.reduce((so, person) => {
    const powers = file.value.people.find((line) => line.person === person)?.powers ?? [];
    return accept({ ...state, accepted: so }, person, powers.filter(wantsSignature));
  }, state.accepted);
  return ok({ ...state, file: file.value, fileSha256: sha256, accepted });
};

const plans = new WeakMap<Procedure, Map<string | undefined, Plan>>();

/** Jobs that follow the same text for the same side share one plan. */
const sharedPlan = (procedure: Procedure, side: string | undefined): Plan => {
  const known = plans.get(procedure) ?? new Map<string | undefined, Plan>();
  plans.set(procedure, known);
  const plan = known.get(side) ?? planFor(procedure, side);
  known.set(side, plan);
  return plan;
};

const evolveStart: Evolver = (state, entry, library) => {
  const sha256 = textOf(entry.data, 'sha256') ?? '';
  const procedure = library.procedure(sha256);
  if (!procedure.ok) return procedure;
  const job = startJob(entry, sharedPlan(procedure.value, textOf(entry.data, 'each')), sha256);
  return ok({ ...state, jobs: withJob(state.jobs, job), jobOrder: [...state.jobOrder, job.id] });
};

/** What was found of a tool stays in order of time; at one instant in the order of entry. */
const evolveTool: Evolver = (state, entry) => {
  const tool = textOf(entry.data, 'tool') ?? '';
  const what =
    textOf(entry.data, 'found') === 'checked'
      ? 'checked'
      : textOf(entry.data, 'found') === 'wrong'
        ? 'wrong'
        : 'dropped';
  const found = { what, when: happened(entry), ms: msOf(happened(entry)) } as const;
  const before = own(state.found, tool) ?? [];
  const index = before.findLastIndex((one) => one.ms <= found.ms) + 1;
  return ok({ ...state, found: withValue(state.found, tool, before.toSpliced(index, 0, found)) });
};

const numbered = (state: BuildState, entry: Entry): BuildState => {
  if (entry.type === 'mix') return counting(state, 'batches', writerOfEntry(entry));
  return entry.type === 'loose' || entry.type === 'skip' ? counting(state, 'tags', writerOfEntry(entry)) : state;
};

/** A loose item may be closed by another job than the one that left it: both keep the closing. */
const jobsTouched = (state: BuildState, entry: Entry): readonly string[] => {
  if (entry.type !== 'close') return [entry.job];
  const tag = textOf(entry.data, 'tag');
  const owner = jobsOf(state).find((job) => job.loose.some((item) => item.tag === tag))?.id;
  return owner === undefined || owner === entry.job ? [entry.job] : [entry.job, owner];
};

const jobUnknown = (entry: Entry, id: string): Fault =>
  wrong(
    'job-unknown',
    `entry ${entry.id} names a job that was never started: ${id}`,
    'restore the journal line that started it',
  );

const evolveInJob: Evolver = (state, entry) => {
  if (entry.type === 'correct' && entry.job === '') return ok(evolveCorrectWarmth(state, entry));
  let after = state;
  for (const id of jobsTouched(state, entry)) {
    const job = jobIn(after.jobs, id);
    if (!job) return err(jobUnknown(entry, id));
    const next = evolveJob(job, entry);
    after = withDraws({ ...after, jobs: withJob(after.jobs, next) }, next, entry);
  }
  return ok(numbered(withTypedTemperatures(after, entry), entry));
};

/** Another text is followed from here on: the library has it. */
const evolveMoved: Evolver = (state, entry, library) => {
  const job = jobIn(state.jobs, entry.job);
  if (!job) return err(jobUnknown(entry, entry.job));
  const procedure = library.procedure(textOf(entry.data, 'sha256') ?? '');
  if (!procedure.ok) return procedure;
  const moved = moveJob(job, entry, planFor(procedure.value, job.side));
  return ok({ ...state, jobs: withJob(state.jobs, moved) });
};

const evolvers: Readonly<Record<string, Evolver>> = {
  move: evolveMoved,
  key: evolveKey,
  recovery: evolveRecovery,
  build: evolveBuildFile,
  start: evolveStart,
  temperature: (state, entry) => ok(evolveTemperature(state, entry)),
  temperatures: evolveTemperatures,
  tool: evolveTool,
  clock: (state, entry) => ok(evolveClock(state, entry)),
  settle: (state, entry, library) =>
    evolveSettle(state, entry, (before, kept) => evolverOf(kept)?.(before, kept, library) ?? ok(before)),
};

const evolverOf = (entry: Entry): Evolver | undefined =>
  (Object.hasOwn(evolvers, entry.type) ? evolvers[entry.type] : undefined) ??
  (isJobEntry(entry.type) ? evolveInJob : undefined);

/** What of a refused entry stands all the same: a start is harmless, and what follows needs its job; what follows a key is signed with it. */
const evolveRefused: Evolver = (state, entry, library) => {
  if (entry.type === 'start') return evolveStart(state, entry, library);
  if (!bringsKey(entry.type)) return ok(state);
  const known = knownKey(entry);
  return known.ok ? ok(withDoubted(state, entry, known.value, endedSigner(state, entry)?.ended ?? entry.id)) : known;
};

/** An entry that the rules refuse among what others wrote meanwhile is kept. */
const evolveHere = (evolver: Evolver, state: BuildState, entry: Entry, library: Library): Outcome<BuildState> => {
  const refused = refusedHere(state, entry, library);
  if (refused === undefined) return evolver(state, entry, library);
  const after = evolveRefused(state, entry, library);
  return after.ok ? ok(withContradiction(after.value, entry, refused)) : after;
};

/** After every entry: how many there are, when the last was written, and whether the clock can be believed. */
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
 * The build after an entry. What is written is never refused here; what cannot be understood (a type that is not known,
 * a text that is missing, a field that no dryfit writes) stops with its name, and is never passed over.
 */
export const evolveBuild = (state: BuildState, entry: Entry, library: Library): Outcome<BuildState> => {
  const evolver = evolverOf(entry);
  if (!evolver)
    return err(
      wrong(
        'entry-unknown',
        `entry ${entry.id} is of a type that this dryfit does not know: ${entry.type}`,
        'use the dryfit that wrote it, or a later one',
      ),
    );
  const flaw = entryFlaw(entry);
  if (flaw !== undefined) return err(flaw);
  const after = evolveHere(evolver, state, withDoubt(state, entry), library);
  return after.ok ? ok(counted(state, after.value, entry)) : after;
};
