import { jobsOf, type BuildState } from '../../aircraft/state.ts';
import { isVerb } from '../../job/verbs.ts';
import type { JobState } from '../../job/state.ts';
import type { Link } from '../../proof/chain.ts';
import { foundWrong, foundOpen, type Observation } from '../../record/observe.ts';
import { stateFolders } from '../../store/layout.ts';
import { lastRecorded, maySignRecords } from '../records/records.ts';
import type { FoundRecord } from './verify-records.ts';

type Places = ReadonlyMap<string, number>;

const hasIn = ({ document }: FoundRecord, hash: string): boolean =>
  document?.journal.entries.some((entry) => entry.hash === hash) !== false;

/**
 * The last entry of a completed job that a record must have, because a builder went on to write after it: whoever does writes the
 * records that are owed first. `undefined` where a kill may have kept the first record from being written.
 */
const surelyRecorded = ({ completed, log }: JobState, places: Places, lastAct: number): string | undefined => {
  const before = log.filter(({ hash }) => (places.get(hash) ?? Infinity) < lastAct);
  return before.some(({ entry }) => entry === completed?.entry) ? before.at(-1)?.hash : undefined;
};

/**
 * Completed jobs whose latest record lacks entries of the journal. A kill leaves the last one owed, and so does another machine whose
 * records have not come along. Where one machine alone writes and went on after it, the record was removed, or a copy of the state
 * lacks it.
 * @param links in causal order.
 */
export const missingRecords = (
  state: BuildState,
  records: readonly FoundRecord[],
  links: readonly Link[],
): readonly Observation[] => {
  const places: Places = new Map(links.map(({ hash }, index) => [hash, index]));
  const isAlone = Object.keys(state.written).length < 2;
  const lastAct = isAlone ? links.findLastIndex(({ line }) => isVerb(line.type) && maySignRecords(state, line.by)) : -1;
  return jobsOf(state).flatMap((job) => {
    const last = lastRecorded(job);
    if (last === undefined) return [];
    const latest = records.findLast((one) => one.job === job.id);
    const sure = surelyRecorded(job, places, lastAct);
    const where = latest?.folder ?? `${stateFolders.records}/${job.id}`;
    if (sure !== undefined && (latest === undefined || !hasIn(latest, sure)))
      return [
        foundWrong('a record of this completed job is missing after it, though its machine went on to write', where),
      ];
    if (latest === undefined) return [foundOpen('record', 'completed, and its record is owed', job.id)];
    return hasIn(latest, last)
      ? []
      : [foundOpen('record', 'the journal has more of this job than its latest record: the next one is owed', where)];
  });
};
