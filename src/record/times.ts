import type { JobState } from '../job/state.ts';
import { parseInstant, printInstant, type Instant } from '../quantity/time.ts';

const instantOf = (text: string): Instant => {
  const parsed = parseInstant(text);
  if (!parsed.ok) throw new RangeError(`not an instant: ${text}`);
  return parsed.value;
};

/** A calculated instant (`ms` since 1970), printed with the offset that the job's start was entered with. */
export const printed = (job: JobState, ms: number): string => printInstant(ms, instantOf(job.started.at).offset);

/** The time for which the record is made: that of completion, else of the job's last entry. */
export const asOf = (job: JobState): string => (job.completed ?? job.log.at(-1) ?? job.started).when;
