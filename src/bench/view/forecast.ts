import { decideJob } from '../../job/decide.ts';
import { isJobCommand, readCommand } from '../../job/parse.ts';
import type { Data } from '../../job/entry.ts';
import type { Verb } from '../../job/verbs.ts';
import type { Fault } from '../../fault/fault.ts';
import { printInstant } from '../../quantity/time.ts';
import type { JobNow } from '../job-now.ts';

/**
 * The refusal that an act would meet now. It is shown before, so that nobody mixes glue or fetches the inspector for nothing. The engine's
 * decision is pure, so asking for it changes nothing.
 */
export const wouldRefuse = ({ job, around, facts }: JobNow, by: string, verb: Verb, data: Data): Fault | undefined => {
  const at = printInstant(facts.now.ms, facts.now.offset);
  const read = readCommand({ verb, job: job.id, by, at, data });
  if (!read.ok || !isJobCommand(read.value)) return undefined;
  const decided = decideJob(job, read.value, around);
  return decided.ok || decided.fault.kind !== 'refused' ? undefined : decided.fault;
};
