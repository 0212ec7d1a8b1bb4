import type { Draft } from 'immer';
import { err, ok, refusal, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import { readingOf } from '../../procedure/plan.ts';
import { parseInstant, printInstant } from '../../quantity/time.ts';
import { msOf } from '../cure.ts';
import { asPerformer, touch, voidReleases, type JobDraft } from '../draft.ts';
import type { EntryOf, TakenOf } from '../entry.ts';
import { earlyFault } from '../refusals/when.ts';
import { restamp } from '../restamp.ts';
import type { JobState, Logged } from '../state.ts';
import type { Struck } from '../stamp.ts';
import { struckIn } from '../struck.ts';
import { currentTries } from '../values.ts';
import type { CalculatedBy } from '../verb-spec.ts';
import { isJobVerb, performs, type JobVerb } from '../verbs.ts';
import { takeUnless, type Act, type Ask } from './act.ts';
import { withDone } from './correct-done.ts';
import { corrected, timeField, type Corrected } from './corrected.ts';
import type { Correctable, NotCorrected } from './correctable.ts';

/** How the entries of each other verb are corrected. */
type Rows = { readonly [V in Exclude<JobVerb, 'correct'>]: { readonly correct: Correctable<V> | NotCorrected } };

/** An entry of the job that can be corrected. */
interface Target {
  readonly logged: Logged;
  readonly verb: JobVerb;
  readonly row: Correctable<JobVerb>;
  readonly was: Readonly<Record<string, unknown>>;
}

const again = 'correct the first entry again: the latest correction counts';

const instead: Readonly<Record<string, string>> = {
  start: 'withdraw the job, or start the right procedure',
  settle: 'enter a remark',
};

const isClosed = (row: Correctable<JobVerb> | NotCorrected): row is NotCorrected => 'instead' in row;

/** The entry that a word names: its id; or a reading for its latest value, a batch, a sample that was broken, a tag. */
const entryNamed = ({ job, data }: Ask<'correct'>): Outcome<string> => {
  const { entry: name, position, n } = data;
  if (readingOf(job.plan, name)) {
    const taken = currentTries(job, name).findLast(
      (one) => (position === undefined || one.position === position) && (n === undefined || one.n === n),
    );
    return taken
      ? ok(taken.entry)
      : err(usage('unknown-id', `${name} has no value to correct`, `enter it (read ${name})`));
  }
  const batch =
    job.batches.findLast((one) => one.batch === name) ?? job.batches.findLast((one) => one.sample?.id === name);
  if (batch && batch.batch !== name && !batch.sample?.broken)
    return err(
      usage('unknown-id', `the sample ${name} is not broken yet`, `correct its batch (correct ${batch.batch})`),
    );
  const tagged = job.loose.find((one) => one.tag === name);
  const photo = job.photos.findLast((one) => one.photo === name && one.superseded === undefined);
  const fitted = job.fitted.findLast(({ part, superseded }) => part === name && superseded === undefined);
  return ok(
    (batch?.batch === name ? batch.entry : batch?.sample?.broken?.entry) ??
      tagged?.entry ??
      fitted?.entry ??
      photo?.entry ??
      name,
  );
};

const rowOf = (rows: Rows, verb: JobVerb): Correctable<JobVerb> | NotCorrected =>
  // The table has for each verb the correction of that very verb, which the compiler cannot follow.
  verb === 'correct' ? { instead: again } : (rows[verb].correct as unknown as Correctable<JobVerb> | NotCorrected);

const targetOf = (rows: Rows, job: JobState, entry: string): Target | Fault => {
  const logged = job.log.find((one) => one.entry === entry);
  if (!logged) {
    const known = job.plan.steps.flatMap((step) => step.readings.map(({ reading }) => reading));
    return unknownId(
      `no typed value '${entry}' in this job`,
      entry,
      known,
      'name the entry as WRITER:SEQ, or the reading',
    );
  }
  const { type } = logged;
  const row = isJobVerb(type) ? rowOf(rows, type) : { instead: instead[type] ?? 'enter a remark' };
  if (!isJobVerb(type) || isClosed(row))
    return usage('not-corrected', `${entry} is a ${type}, which is not corrected`, isClosed(row) ? row.instead : again);
  const right = withDone(row, job, entry);
  const was = right.said(job, entry);
  return was
    ? { logged, verb: type, row: right, was }
    : usage('not-corrected', `nothing of ${entry} (${type}) is in this job any more`, 'enter a remark');
};

const isFault = (found: Target | Fault): found is Fault => 'todo' in found;

/** When an entry happened, as last corrected. */
const whenOf = (job: JobState, { entry, when }: Logged): string =>
  struckIn(job, entry).findLast((one) => one.rightWhen !== undefined)?.rightWhen ?? when;

/** The right time must be one at which the entry can have happened: not after it was written, and for work on a step not too early. */
const timeFault = (ask: Ask<'correct'>, { logged, verb }: Target, { now, when }: Corrected): Fault | undefined => {
  if (when === undefined) return undefined;
  const read = parseInstant(when);
  if (!read.ok) return read.fault;
  const { ms, offset } = read.value;
  const written = msOf(logged.at);
  if (ms > written + 60_000)
    return refusal(
      'when-ahead',
      `${printInstant(ms, offset)} is after the entry was written, ${printInstant(written, offset)}`,
      'give the time at which it happened',
    );
  return earlyFault({
    ...ask,
    command: { ...ask.command, verb, when } as unknown as Ask['command'],
    data: now as Ask['data'],
    when,
    moment: { ...ask.moment, ms, offset },
  });
};

const change = (target: Target, { value, hashes }: EntryOf<'correct'>['data'] | Ask<'correct'>['data']) =>
  corrected(target.verb, target.row, target.was, value, hashes);

const decide = (rows: Rows, ask: Ask<'correct'>): Outcome<TakenOf<'correct'>> => {
  const entry = entryNamed(ask);
  if (!entry.ok) return entry;
  const target = targetOf(rows, ask.job, entry.value);
  if (isFault(target)) return err(target);
  const right = change(target, ask.data);
  if (!right.ok) return right;
  const fault = timeFault(ask, target, right.value);
  if (fault) return err(fault);
  const judged = target.row.judge?.(ask, { target: entry.value, was: target.was, now: right.value.now });
  if (judged?.ok === false) return judged;
  const { data, ...told } = judged?.value ?? {};
  const was = [right.value.old, right.value.when === undefined ? '' : `when ${whenOf(ask.job, target.logged)}`];
  return takeUnless(ask, undefined, [], {
    ...told,
    told: [`struck: ${was.filter((text) => text !== '').join(', ')}`, ...(told.told ?? [])],
    data: { ...data, entry: entry.value },
  });
};

const struckBy = (
  job: JobState,
  target: Target,
  entry: EntryOf<'correct'>,
  { old, right, when }: Corrected,
): Struck => {
  const { logged, was } = target;
  const before = whenOf(job, logged);
  const calculated = was['calculated'] as CalculatedBy | undefined;
  const time = (text: string | undefined): string => (text === undefined ? '' : `${timeField} ${text}`);
  const joined = (...texts: readonly string[]): string => texts.filter((text) => text !== '').join(', ');
  return {
    entry: logged.entry,
    type: logged.type,
    at: logged.at,
    when: before,
    by: logged.by,
    value: joined(old, when === undefined ? '' : time(before)),
    right: joined(right, time(when)),
    ...(calculated === undefined ? {} : { calculated }),
    ...(when === undefined ? {} : { rightWhen: when }),
    reason: entry.data.reason,
    struckBy: entry.by,
    struckAt: entry.at,
    struckEntry: entry.id,
  };
};

const evolve = (rows: Rows, draft: JobDraft, entry: EntryOf<'correct'>, job: JobState): void => {
  const target = targetOf(rows, job, entry.data.entry);
  const right = isFault(target) ? undefined : change(target, entry.data);
  if (isFault(target) || right?.ok !== true) return;
  const { row, was } = target;
  const { entry: id } = target.logged;
  const before = row.steps(job, id);
  draft.struck.push(struckBy(job, target, entry, right.value) as Draft<Struck>);
  row.put(draft, { target: id, was, now: right.value.now, entry }, job);
  if (right.value.when !== undefined) restamp(draft, id, right.value.when);
  const steps = [...new Set([...before, ...row.steps(draft as JobState, id)])];
  for (const step of steps) {
    // Whoever corrects work on a step performs on it; what is said of other things is nobody's work on it.
    if (performs(target.verb)) asPerformer(draft, step, entry);
    touch(draft, step, entry);
  }
  voidReleases(draft, job.plan, steps, entry);
};

/**
 * A correction strikes what was said, at any time, with a reason, and everything is decided again. The table says for every other verb how
 * its entries are corrected, or what to do instead.
 */
export const correctActOf = (rows: Rows): Act<'correct'> => ({
  decide: (ask) => decide(rows, ask),
  evolve: (draft, entry, job) => evolve(rows, draft, entry, job),
  words: ({ value }) => {
    if (value === 'none') return 'struck';
    return typeof value === 'string' ? `corrected to ${value}` : 'corrected';
  },
  correct: { instead: again },
});
