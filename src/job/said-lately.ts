import { jobActs } from './acts/all.ts';
import type { Correctable } from './acts/correctable.ts';
import { saidText } from './acts/corrected.ts';
import { withDone } from './acts/correct-done.ts';
import type { JobState, Logged } from './state.ts';
import { givenFields, isJobVerb, type JobVerb } from './verbs.ts';

/** One field of an entry that can be put right, and what it says now. */
interface SaidField {
  /** The name by which a correction means it: `because`, or `weights.resin` for a part. */
  readonly field: string;
  /** What the field is for: `the reason`. */
  readonly about: string;
  /** Absent where nothing was said. */
  readonly value?: string;
}

export interface SaidEntry {
  readonly logged: Logged;
  readonly verb: JobVerb;
  readonly fields: readonly SaidField[];
}

const fieldsOf = (
  verb: JobVerb,
  open: readonly string[],
  said: Readonly<Record<string, unknown>>,
): readonly SaidField[] =>
  givenFields(verb)
    .filter(({ name }) => open.includes(name))
    .flatMap(({ name, about }): readonly SaidField[] => {
      const value = said[name];
      if (value === undefined) return [{ field: name, about }];
      if (typeof value === 'object' && value !== null && !Array.isArray(value))
        return Object.entries(value).map(([part, one]) => ({
          field: `${name}.${part}`,
          about: part,
          value: saidText(one),
        }));
      return [{ field: name, about, value: saidText(value) }];
    });

/** The fields of an entry that can be put right, as they are now; none where the job keeps nothing of it. */
export const saidFields = (job: JobState, verb: JobVerb, entry: string): readonly SaidField[] => {
  const { correct } = jobActs[verb];
  if ('instead' in correct) return [];
  // The table has for each verb the correction of that very verb, which the compiler cannot follow.
  const row = withDone(correct as unknown as Correctable<JobVerb>, job, entry);
  const said = row.said(job, entry);
  return said ? fieldsOf(verb, row.fields, said) : [];
};

const entryOf = (job: JobState, logged: Logged): readonly SaidEntry[] => {
  const { type: verb } = logged;
  if (!isJobVerb(verb) || logged.job !== undefined) return [];
  const fields = saidFields(job, verb, logged.entry);
  return fields.length === 0 ? [] : [{ logged, verb, fields }];
};

/** The latest entries of a job whose fields can be put right, newest first. */
export const saidLately = (job: JobState, count: number): readonly SaidEntry[] => {
  const found: SaidEntry[] = [];
  for (const logged of job.log.toReversed()) {
    if (found.length >= count) break;
    found.push(...entryOf(job, logged));
  }
  return found;
};
