import { err, ok, usage } from '../../fault/fault.ts';
import { keepOf } from '../../job/contradiction.ts';
import { withRemark } from '../../job/evolve.ts';
import { stampOf } from '../../job/draft.ts';
import { withJob } from '../jobs.ts';
import { jobOf, openContradictions } from '../state.ts';
import { taken, type BuildAct } from './act.ts';
import { notCorrected } from '../../job/acts/correctable.ts';

/**
 * A person decides whether an entry in contradiction is kept. A kept entry is applied here, as it was entered; one that is not kept stays
 * in the story and changes nothing.
 */
export const settleAct: BuildAct<'settle'> = {
  decide: (ask) => {
    const { state, data } = ask;
    const id = data.entry;
    const open = openContradictions(state);
    const one = open.find(({ entry }) => entry.id === id);
    const known = open.map(({ entry }) => entry.id).join(', ');
    if (!one)
      return err(
        usage('unknown-id', `no contradiction '${id}' is open`, known ? `open: ${known}` : 'there is none to settle'),
      );
    const isEntry = (other: string): boolean => Object.hasOwn(state.written, other.slice(0, other.lastIndexOf(':')));
    const kept = keepOf(id, data.keep, isEntry);
    if (kept === undefined)
      return err(
        usage('value-unreadable', 'keep says neither yes nor no', `write keep=yes where ${id} stands, else keep=no`),
      );
    return taken(ask, {}, [kept ? `${id} stands` : `${id} stays in the journal and changes nothing`]);
  },
  evolve: (state, entry, { apply }) => {
    const one = state.contradictions.find((other) => other.entry.id === entry.data.entry && !other.settled);
    if (!one) return ok(state);
    const kept = keepOf(one.entry.id, entry.data.keep, () => true) === true;
    const settled = { ...stampOf(entry), kept };
    const contradictions = state.contradictions.map((other) => (other === one ? { ...other, settled } : other));
    const before = { ...state, contradictions };
    // A start was already applied at its own place, so it is not applied twice.
    const applied = kept && one.entry.type !== 'start' ? apply(before, one.entry) : ok(before);
    if (!applied.ok) return applied;
    const [job, was] = [jobOf(applied.value, one.job), jobOf(before, one.job)];
    if (!job || !was) return applied;
    // The job's log already lists the entry at its own place, so only the decision is added.
    const text = `${one.entry.id} ${kept ? 'stands' : 'does not stand'}`;
    return ok({
      ...applied.value,
      jobs: withJob(applied.value.jobs, withRemark({ ...job, log: was.log }, entry, text)),
    });
  },
  words: () => undefined,
  correct: notCorrected('what is settled stays settled: enter a remark'),
};
