import { err, type Outcome } from '../fault/fault.ts';
import { askOf, type Act, type Ask } from './acts/act.ts';
import { jobActs } from './acts/all.ts';
import type { CommandOf, JobCommand, Taken, TakenOf } from './entry.ts';
import { overRefusals } from './refusals/over.ts';
import { earlyFault, earlyRefusals } from './refusals/when.ts';
import type { JobState } from './state.ts';
import type { Surroundings } from './surroundings.ts';
import type { JobVerb } from './verbs.ts';

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
  const [over] = overRefusals(job, command.verb);
  if (over) return err(over);
  return decideOne(job, command as CommandOf<JobVerb>, around) as Outcome<Taken>;
};
