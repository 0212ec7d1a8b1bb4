import { err, refusal, type Outcome } from '../fault/fault.ts';
import { askOf, type Act, type Ask } from './acts/act.ts';
import { jobActs } from './acts/all.ts';
import type { CommandOf, JobCommand, Taken, TakenOf } from './entry.ts';
import { earlyFault, earlyRefusals } from './refusals/when.ts';
import type { JobState } from './state.ts';
import type { Surroundings } from './surroundings.ts';
import { verbSpec, type JobVerb } from './verbs.ts';
import { isClosed, isWithdrawn } from './where.ts';

const decideOne = <V extends JobVerb>(
  job: JobState,
  command: CommandOf<V>,
  around: Surroundings,
): Outcome<TakenOf<V>> => {
  const ask = askOf(job, command, around);
  const early = ask.ok ? earlyFault(ask.value as unknown as Ask) : undefined;
  if (early) return err(early);
  // The table has for each verb the act of that very verb, which the compiler cannot follow.
  const { decide } = jobActs[command.verb] as unknown as Act<V>;
  return ask.ok ? decide({ ...ask.value, early: earlyRefusals(ask.value as unknown as Ask) }) : ask;
};

/**
 * Decides a command by section 6 of the design for one job: the entry to write, or why not. Faults: kind `refused` with a code of the
 * closed list; kind `usage` for an unknown id or an unreadable value.
 */
export const decideJob = (job: JobState, command: JobCommand, around: Surroundings): Outcome<Taken> => {
  if (isWithdrawn(job))
    return err(refusal('job-closed', `${job.id} is withdrawn`, 'nothing is entered in it; start the procedure again'));
  if (isClosed(job) && verbSpec(command.verb).untilComplete === true)
    return err(refusal('job-closed', `${job.id} is complete`, 'correct, undo or remark; or start the procedure again'));
  return decideOne(job, command as CommandOf<JobVerb>, around) as Outcome<Taken>;
};
