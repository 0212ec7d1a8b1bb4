import { firstRefusal } from '../fault/codes.ts';
import { err, ok, refusal, usage, type Fault, type Outcome, type Refusal } from '../fault/fault.ts';
import { unknownId } from '../fault/unknown.ts';
import { contradictionText } from '../job/contradiction.ts';
import { decideJob } from '../job/decide.ts';
import { happened, textOf, type Command, type Data, type Taken } from '../job/entry.ts';
import { givenData, shapeData } from '../job/shape.ts';
import { verbSpec } from '../job/verbs.ts';
import { isClosed } from '../job/where.ts';
import type { After, Procedure } from '../procedure/model.ts';
import { addMonths, endOfDay, parseDay, parseInstant, type Instant } from '../quantity/time.ts';
import { aroundOf } from './surroundings.ts';
import { clockFault } from './clock.ts';
import { decideSettle } from './contradictions.ts';
import type { BeforeLine } from './file.ts';
import type { Library } from './library.ts';
import { jobOf, jobsOf, openContradictions, powersOf, type BuildState } from './state.ts';
import { hasJob } from './jobs.ts';
import { own } from '../fault/own.ts';
import { correctsWarmth, decideCorrectWarmth, decideTemperature, decideTemperatures } from './temperatures.ts';

const unknown = (what: string, id: string, known: readonly string[]): Fault =>
  unknownId(`no ${what} '${id}'`, id, known);

const taken = (command: Command, data: Data, told: readonly string[] = []): Outcome<Taken> =>
  ok({ type: command.verb, data, also: [], told });

const isFresh = (since: number, offset: number, after: After, at: number): boolean =>
  !after.notOlder || addMonths(since, offset, after.notOlder.months) + after.notOlder.ms >= at;

const isFreshLine = (line: BeforeLine, after: After, at: Instant): boolean => {
  const day = parseDay(line.date);
  return day.ok && isFresh(endOfDay(day.value, at.offset), at.offset, after, at.ms);
};

/** An earlier procedure is there when it was completed (on this side, or on all its sides), or stands in `before-dryfit`. */
const isDoneBefore = (state: BuildState, after: After, side: string | undefined, at: Instant): boolean => {
  const lines = state.file.beforeDryfit.filter(
    (line) => line.procedure === after.procedure && isFreshLine(line, after, at),
  );
  if (lines.some((line) => line.each === undefined || line.each === side)) return true;
  const done = jobsOf(state).filter((job) => {
    const completed = job.completed ? parseInstant(job.completed.when) : undefined;
    return (
      job.procedure === after.procedure &&
      isClosed(job) &&
      completed?.ok === true &&
      isFresh(completed.value.ms, completed.value.offset, after, at.ms)
    );
  });
  const sides = done[0]?.plan.each ?? [];
  if (done.length === 0 || sides.length === 0) return done.length > 0;
  const wanted = side !== undefined && sides.includes(side) ? [side] : sides;
  return wanted.every((one) => done.some((job) => job.side === one) || lines.some((line) => line.each === one));
};

const earlierRefusals = (
  state: BuildState,
  procedure: Procedure,
  side: string | undefined,
  at: Instant,
): readonly Refusal[] =>
  procedure.after
    .filter((after) => !isDoneBefore(state, after, side, at))
    .map((after) =>
      refusal(
        'earlier-procedure',
        `${procedure.procedure} comes after ${after.procedure}${after.notOlder ? `, not older than ${after.notOlder.text}` : ''}`,
        `complete ${after.procedure} first, or enter in build.yaml (before-dryfit) that it was done`,
      ),
    );

/** Nothing is begun on a procedure whose story contradicts itself. */
const contradictedRefusals = (state: BuildState, procedure: Procedure): readonly Refusal[] =>
  openContradictions(state)
    .filter(({ job }) => procedure.after.some((after) => after.procedure === jobOf(state, job)?.procedure))
    .map((one) =>
      refusal('contradiction', contradictionText(one), `settle it: settle ${one.entry.id} keep=yes, or keep=no`),
    );

const sideFault = (procedure: Procedure, side: string | undefined): Fault | undefined => {
  if (procedure.each.length === 0)
    return side === undefined
      ? undefined
      : usage('field-unknown', `${procedure.procedure} has no sides`, 'leave each out');
  if (side === undefined)
    return usage(
      'field-missing',
      `${procedure.procedure} is done for each of ${procedure.each.join(', ')}`,
      'say which (each)',
    );
  return procedure.each.includes(side) ? undefined : unknown('side', side, procedure.each);
};

const decideStart = (
  state: BuildState,
  command: Command,
  data: Data,
  at: Instant,
  library: Library,
): Outcome<Taken> => {
  const procedure = library.procedure(textOf(data, 'sha256') ?? '');
  if (!procedure.ok) return procedure;
  const side = textOf(data, 'each');
  const fault = sideFault(procedure.value, side);
  if (fault) return err(fault);
  const refused = firstRefusal([
    ...earlierRefusals(state, procedure.value, side, at),
    ...contradictedRefusals(state, procedure.value),
  ]);
  if (refused) return err(refused);
  const open = jobsOf(state).filter(
    (job) => job.procedure === procedure.value.procedure && job.side === side && !isClosed(job),
  );
  return taken(
    command,
    data,
    open.map((job) => `${job.id} is open too`),
  );
};

const decideClock = (command: Command, data: Data): Outcome<Taken> => {
  const fault = clockFault(data, command.at);
  return fault ? err(fault) : taken(command, data);
};

const decideTool = (state: BuildState, command: Command, data: Data): Outcome<Taken> => {
  const id = textOf(data, 'tool') ?? '';
  const known = state.file.tools.map((line) => line.tool);
  return known.includes(id) ? taken(command, data) : err(unknown('tool in the build', id, known));
};

/** The job that an entry is put to: the one named, or for a sample the one that holds it. */
const jobAsked = (state: BuildState, command: Command): Outcome<string> => {
  const sample = command.verb === 'break' ? textOf(command.data, 'sample') : undefined;
  const holds = (id: string): boolean =>
    jobOf(state, id)?.batches.some((batch) => batch.batch === sample || batch.sample?.id === sample) === true;
  const owner = sample === undefined || holds(command.job) ? undefined : state.jobOrder.find(holds);
  const id = owner ?? command.job;
  return hasJob(state.jobs, id) ? ok(id) : err(unknown('job', id, state.jobOrder));
};

const decideInBuild = (state: BuildState, command: Command, at: Instant, library: Library): Outcome<Taken> => {
  const shaped = shapeData(command.verb, command.data);
  if (!shaped.ok) return shaped;
  const data = givenData(command.verb, shaped.value);
  if (verbSpec(command.verb).builder && !powersOf(state, command.by).includes('builder'))
    return err(refusal('power', `${command.by} has no power to perform`, 'a person with the power builder does it'));
  if (command.verb === 'start') return decideStart(state, command, data, at, library);
  if (command.verb === 'temperature') return decideTemperature(command, data);
  if (command.verb === 'temperatures') return decideTemperatures(state, command, data, library);
  if (command.verb === 'settle') return decideSettle(state, command, data);
  if (command.verb === 'clock') return decideClock(command, data);
  return command.verb === 'tool' ? decideTool(state, command, data) : taken(command, data);
};

/** The contradiction that is to be settled: its settlement stands in the story of its job. */
const contradicted = (state: BuildState, data: Data) =>
  openContradictions(state).find(({ entry }) => entry.id === textOf(data, 'entry'));

/** The job that a command's entry will belong to; '' for the build's own. */
export const jobOfCommand = (state: BuildState, command: Command): string => {
  if (command.verb === 'settle') return contradicted(state, command.data)?.job ?? '';
  if (verbSpec(command.verb).scope === 'build') return '';
  if (command.verb === 'correct' && correctsWarmth(state, command.data)) return '';
  const job = jobAsked(state, command);
  return job.ok ? job.value : command.job;
};

/** What stands in the text that a command about a revision names. */
const namedText = (command: Command, library: Library): Procedure | undefined => {
  const sha256 = command.verb === 'move' || command.verb === 'resolve' ? textOf(command.data, 'sha256') : undefined;
  const found = sha256 === undefined ? undefined : library.procedure(sha256);
  return found?.ok === true ? found.value : undefined;
};

/**
 * Any command put to the whole build: the entry to write, or why not. Rules of one job are `job/`'s; rules across jobs stand here.
 * Faults: kind `refused` with a closed code; kind `usage` for what cannot be understood.
 */
export const decideBuild = (state: BuildState, command: Command, library: Library): Outcome<Taken> => {
  const at = parseInstant(happened(command));
  const written = parseInstant(command.at);
  if (!at.ok) return at;
  if (!written.ok) return written;
  if (!own(state.keys, command.by)) return err(unknown('person', command.by, Object.keys(state.keys)));
  if (verbSpec(command.verb).scope === 'build') return decideInBuild(state, command, at.value, library);
  if (command.verb === 'correct' && correctsWarmth(state, command.data)) {
    const shaped = shapeData(command.verb, command.data);
    return shaped.ok ? decideCorrectWarmth(state, command, shaped.value) : shaped;
  }
  const id = jobAsked(state, command);
  const job = id.ok ? jobOf(state, id.value) : undefined;
  if (!id.ok || !job) return id.ok ? err(unknown('job', id.value, state.jobOrder)) : id;
  const asked = { writer: command.writer, named: namedText(command, library) };
  return decideJob(job, { ...command, job: id.value }, aroundOf(state, job, written.value.ms, asked));
};
