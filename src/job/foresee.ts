import type { Refusal } from '../fault/fault.ts';
import type { Intended } from './acts/act.ts';
import { jobActs } from './acts/all.ts';
import { departureFor } from './departure.ts';
import type { Data } from './entry.ts';
import type { Moment } from './moment.ts';
import { readSoFar } from './parse.ts';
import type { JobState } from './state.ts';
import { overRefusals } from './refusals/over.ts';
import type { JobVerb } from './verbs.ts';

/** An act that somebody is about to do: its verb, what is known of it, and the fields that are still to be answered. */
export interface Coming {
  readonly verb: JobVerb;
  readonly data: Data;
  readonly open: ReadonlySet<string>;
}

/**
 * What would refuse an act now, of what is known so far; what a departure overrules is left out. The decider of the verb asks the same
 * function with nothing open, so no rule is written twice. An act that is free of refusals here is later refused only for what was still open.
 */
export const refusedAhead = (job: JobState, { verb, data, open }: Coming, moment: Moment): readonly Refusal[] => {
  const over = overRefusals(job, verb);
  if (over.length > 0) return over;
  // The table has for each verb the act of that very verb, which the compiler cannot follow.
  const foresee = jobActs[verb].foresee as
    | ((intended: Intended) => {
        readonly step: Parameters<typeof departureFor>[2];
        readonly refusals: readonly Refusal[];
      })
    | undefined;
  if (!foresee) return [];
  const known = readSoFar(verb, data);
  const names = 'with' in known ? (known.with as readonly string[]) : moment.with;
  const { step, refusals } = foresee({ job, moment: { ...moment, with: names }, data: known, open });
  // Whoever is still to be named may be the one who is missing.
  const isStillAsked = (code: string): boolean => code === 'helper-missing' && open.has('with');
  return refusals.filter(({ code }) => !isStillAsked(code) && departureFor(job, code, step) === undefined);
};
