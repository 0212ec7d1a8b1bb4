import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { contradictionText, keepOf, type Contradiction } from '../job/contradiction.ts';
import { textOf, type Command, type Data, type Entry, type Taken } from '../job/entry.ts';
import { stepOfEntry, withRemark } from '../job/evolve.ts';
import { stampOf } from '../job/evolve/draft.ts';
import { withJob } from './jobs.ts';
import { jobOf, openContradictions, type BuildState } from './state.ts';

/** The entry is kept, and told in its job's story; what it says changes nothing yet. */
export const withContradiction = (state: BuildState, entry: Entry, { code, what }: Fault): BuildState => {
  const id = entry.type === 'start' ? (state.jobOrder.at(-1) ?? '') : entry.job;
  const job = jobOf(state, id);
  const step = job && stepOfEntry(job, entry);
  const one: Contradiction = { entry, job: id, code, why: what, ...(step === undefined ? {} : { step }) };
  const after = { ...state, contradictions: [...state.contradictions, one] };
  return job
    ? { ...after, jobs: withJob(after.jobs, withRemark(job, entry, `dryfit: ${contradictionText(one)}`)) }
    : after;
};

/** `settle`: a person says whether a contradiction stands. */
export const decideSettle = (state: BuildState, command: Command, data: Data): Outcome<Taken> => {
  const id = textOf(data, 'entry') ?? '';
  const open = openContradictions(state);
  const one = open.find(({ entry }) => entry.id === id);
  const known = open.map(({ entry }) => entry.id).join(', ');
  if (!one)
    return err(
      usage('unknown-id', `no contradiction '${id}' is open`, known ? `open: ${known}` : 'there is none to settle'),
    );
  const isEntry = (other: string): boolean => Object.hasOwn(state.written, other.slice(0, other.lastIndexOf(':')));
  const kept = keepOf(id, textOf(data, 'keep') ?? '', isEntry);
  if (kept === undefined)
    return err(
      usage('value-unreadable', 'keep says neither yes nor no', `write keep=yes where ${id} stands, else keep=no`),
    );
  return ok({
    type: command.verb,
    data,
    also: [],
    told: [kept ? `${id} stands` : `${id} stays in the journal and changes nothing`],
  });
};

/**
 * A settlement: what stands is applied here, as it was entered; what does not stays told.
 * @param apply what the entry would have done at its own place.
 */
export const evolveSettle = (
  state: BuildState,
  entry: Entry,
  apply: (state: BuildState, entry: Entry) => Outcome<BuildState>,
): Outcome<BuildState> => {
  const one = state.contradictions.find((other) => other.entry.id === textOf(entry.data, 'entry') && !other.settled);
  if (!one) return ok(state);
  const kept = keepOf(one.entry.id, textOf(entry.data, 'keep') ?? '', () => true) === true;
  const settled = { ...stampOf(entry), kept };
  const contradictions = state.contradictions.map((other) => (other === one ? { ...other, settled } : other));
  const before = { ...state, contradictions };
  // a start was applied where it stands
  const applied = kept && one.entry.type !== 'start' ? apply(before, one.entry) : ok(before);
  if (!applied.ok) return applied;
  const [job, was] = [jobOf(applied.value, one.job), jobOf(before, one.job)];
  if (!job || !was) return applied;
  // its line stands in the job's log already, at its own place
  const told = withRemark({ ...job, log: was.log }, entry, `${one.entry.id} ${kept ? 'stands' : 'does not stand'}`);
  return ok({ ...applied.value, jobs: withJob(applied.value.jobs, told) });
};
