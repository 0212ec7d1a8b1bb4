import { err, ok, refusal, type Outcome } from '../fault/fault.ts';
import { own } from '../fault/own.ts';
import { decideJob } from '../job/decide.ts';
import { happened, type Command, type CommandOf, type JobCommand, type ReadCommand, type Taken } from '../job/entry.ts';
import { namedFault } from '../job/named.ts';
import { isJobCommand, readCommand } from '../job/parse.ts';
import { aheadRefusal } from '../job/refusals/when.ts';
import { verbSpec, type BuildVerb } from '../job/verbs.ts';
import type { Procedure } from '../procedure/model.ts';
import { parseInstant, type Instant } from '../quantity/time.ts';
import { unknownIn, type BuildAct } from './acts/act.ts';
import { buildActs } from './acts/all.ts';
import { findCorrected, notCorrectedFault, verbCorrected } from './correcting.ts';
import { hasJob } from './jobs.ts';
import type { Library } from './library.ts';
import { jobOf, openContradictions, powersOf, type BuildState } from './state.ts';
import { aroundOf, peopleNow } from './surroundings.ts';

/** What the engine accepts, and the id of the job that the entry belongs to; '' for the whole build. */
export type Decided = Taken & { readonly job: string };

const inJob = (taken: Outcome<Taken>, job: string): Outcome<Decided> =>
  taken.ok ? ok({ ...taken.value, job }) : taken;

/** The job for which a command is meant: the one named, or for a sample the job whose batch has that sample. */
const jobAsked = (state: BuildState, command: ReadCommand): Outcome<string> => {
  const sample = command.verb === 'break' ? command.data.sample : undefined;
  const holds = (id: string): boolean =>
    jobOf(state, id)?.batches.some((batch) => batch.batch === sample || batch.sample?.id === sample) === true;
  const owner = sample === undefined || holds(command.job) ? undefined : state.jobOrder.find(holds);
  const id = owner ?? command.job;
  return hasJob(state.jobs, id) ? ok(id) : err(unknownIn('job', id, state.jobOrder));
};

const decideInBuild = <V extends BuildVerb>(
  state: BuildState,
  command: CommandOf<V>,
  at: Instant,
  library: Library,
): Outcome<Decided> => {
  if (verbSpec(command.verb).builder && !powersOf(state, command.by).includes('builder'))
    return err(refusal('power', `${command.by} has no power to perform`, 'a person with the power builder does it'));
  const act: BuildAct<V> = buildActs[command.verb];
  const taken = act.decide({ state, command, data: command.data, at, library }) as Outcome<Taken>;
  // A settlement belongs to the story of the job whose contradiction it settles.
  const settled = command.verb === 'settle' ? (command as CommandOf<'settle'>).data.entry : undefined;
  const one = openContradictions(state).find(({ entry }) => entry.id === settled);
  return inJob(taken, one?.job ?? '');
};

/** The procedure text that a command about a revision names by its hash. */
const namedText = (command: ReadCommand, library: Library): Procedure | undefined => {
  if (command.verb !== 'move' && command.verb !== 'resolve') return undefined;
  const found = library.procedure(command.data.sha256);
  return found.ok ? found.value : undefined;
};

const decideIn = (
  state: BuildState,
  command: JobCommand,
  id: string,
  written: Instant,
  library: Library,
): Outcome<Decided> => {
  const job = jobOf(state, id);
  if (!job) return err(unknownIn('job', id, state.jobOrder));
  const asked = { writer: command.writer, named: namedText(command, library) };
  return inJob(decideJob(job, { ...command, job: id }, aroundOf(state, job, written.ms, asked)), id);
};

/** A correction is decided in the job whose entry it corrects, or in the build; an answer to somebody who sent it from elsewhere says so. */
const decideCorrection = (
  state: BuildState,
  command: CommandOf<'correct'>,
  written: Instant,
  library: Library,
): Outcome<Decided> => {
  const found = findCorrected(state, command);
  if (found && 'row' in found)
    return inJob(found.row.decide({ state, command, data: command.data, at: written, library }), '');
  const id = found?.job.id ?? command.job;
  const fault = found && notCorrectedFault(found.job, command.data.entry);
  if (fault?.ok === false) return fault;
  const decided = decideIn(state, command, id, written, library);
  if (!decided.ok || id === command.job || command.job === '') return decided;
  return ok({
    ...decided.value,
    told: [`${command.data.entry} is of ${id}, and is corrected there`, ...decided.value.told],
  });
};

const decideInJob = (state: BuildState, command: JobCommand, written: Instant, library: Library): Outcome<Decided> => {
  if (command.verb === 'correct') return decideCorrection(state, command, written, library);
  const id = jobAsked(state, command);
  return id.ok ? decideIn(state, command, id.value, written, library) : id;
};

/** `decideBuild`, for a command whose data has already been read. */
export const decideCommand = (state: BuildState, command: ReadCommand, library: Library): Outcome<Decided> => {
  const at = parseInstant(happened(command));
  const written = parseInstant(command.at);
  if (!at.ok) return at;
  if (!written.ok) return written;
  const ahead = aheadRefusal(at.value.ms, written.value);
  if (ahead) return err(ahead);
  if (!own(state.keys, command.by)) return err(unknownIn('person', command.by, Object.keys(state.keys)));
  return isJobCommand(command)
    ? decideInJob(state, command, written.value, library)
    : decideInBuild(state, command as CommandOf<BuildVerb>, at.value, library);
};

/** The command by which names are looked up: for a correction, the entry as it should have been. */
const namesIn = (state: BuildState, command: ReadCommand): ReadCommand => {
  const verb = command.verb === 'correct' ? verbCorrected(state, command) : undefined;
  if (verb === undefined || command.verb !== 'correct') return command;
  const { value } = command.data;
  const data = typeof value === 'string' ? { with: [value] } : value;
  return { ...command, verb, data } as unknown as ReadCommand;
};

/**
 * Decides any command: the entry to write, or why not. Rules of one job are in `job/`; rules across jobs are here. Faults: kind `refused`
 * with a code of the closed list; kind `usage` for what cannot be understood.
 */
export const decideBuild = (state: BuildState, command: Command, library: Library): Outcome<Decided> => {
  const read = readCommand(command);
  if (!read.ok) return read;
  const unclear = namedFault(Object.values(peopleNow(state)), namesIn(state, read.value));
  return unclear ? err(unclear) : decideCommand(state, read.value, library);
};
