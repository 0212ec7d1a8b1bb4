import { err, ok, usage, wrong, type Fault, type Outcome } from '../../fault/fault.ts';
import { verbSpec } from '../../job/verbs.ts';
import type { Instant } from '../../quantity/time.ts';
import type { Intent, Done } from '../intent.ts';
import { findJob } from '../find-job.ts';
import type { Script, ScriptEntry } from './script.ts';
import { timeFrom } from './times.ts';
import type { Workshop } from '../workshop.ts';

/** The result of one entry of a script: accepted and on the disk, or refused as the script expects. */
export type Rehearsed =
  { readonly entry: ScriptEntry; readonly done: Done } | { readonly entry: ScriptEntry; readonly refused: Fault };

/** The `at`, `as` and `job` that the next entry of a script inherits. */
interface Course {
  readonly now: Instant | undefined;
  readonly as: string | undefined;
  /** The job that was started last. */
  readonly job: string | undefined;
}

/** The workshop of a rehearsal, with a clock that can be set. */
export interface Stage {
  readonly workshop: Workshop;
  /** Sets the wall clock and the monotonic clock. */
  readonly setTime: (instant: Instant) => void;
  readonly submit: (act: Intent) => Outcome<Done>;
}

/** The place in the script helps its reader more than a place in the state. */
const atEntry = (entry: ScriptEntry, fault: Fault): Fault => ({ ...fault, where: entry.where });

/** The result differs from what the script expects; exit 1. */
const difference = (entry: ScriptEntry, what: string): Outcome<never> =>
  err(wrong('differs', what, 'mend the script, or what it rehearses', entry.where));

const jobFor = (entry: ScriptEntry, course: Course, stage: Stage): Outcome<string> => {
  if (verbSpec(entry.verb).scope === 'build') return ok('');
  const state = stage.workshop.state();
  const word = entry.job ?? course.job ?? state.jobOrder.at(-1);
  if (word === undefined) return err(usage('job-unknown', 'no job is started yet', 'start one first', entry.where));
  const job = findJob(state, word);
  return job.ok ? ok(job.value.id) : job;
};

const actOf = (entry: ScriptEntry, course: Course, stage: Stage): Outcome<Intent> => {
  const job = jobFor(entry, course, stage);
  if (!job.ok) return job;
  if (course.as === undefined)
    return err(usage('person-missing', 'nobody is named', 'write as: and a person in the first entry', entry.where));
  const when = entry.when === undefined ? ok(undefined) : timeFrom(entry.when, course.now);
  if (!when.ok) return when;
  return ok({
    verb: entry.verb,
    job: job.value,
    by: course.as,
    data: entry.data,
    ...(when.value === undefined ? {} : { when: when.value.text }),
  });
};

const judgeTaken = (entry: ScriptEntry, done: Done): Outcome<Rehearsed> => {
  const { expect } = entry;
  if (expect === undefined) return ok({ entry, done });
  if (expect === 'refused') {
    const code = entry.code === undefined ? '' : ` (${entry.code})`;
    return difference(entry, `${entry.verb} was to be refused${code}, and was taken`);
  }
  const { verdict } = done;
  const fits = verdict === expect || (expect === 'within' && verdict === 'within, twin open');
  return fits
    ? ok({ entry, done })
    : difference(entry, `${entry.verb} was to be ${expect}, and is ${verdict ?? 'without a verdict'}`);
};

const judgeFault = (entry: ScriptEntry, fault: Fault): Outcome<Rehearsed> => {
  if (fault.kind !== 'refused') return err(atEntry(entry, fault));
  const said = `${fault.code}: ${fault.what}`;
  if (entry.expect !== 'refused')
    return difference(entry, `${entry.verb} was to be ${entry.expect ?? 'taken'}, and is refused, ${said}`);
  return entry.code === undefined || entry.code === fault.code
    ? ok({ entry, refused: fault })
    : difference(entry, `${entry.verb} was to be refused by ${entry.code}, and is by ${said}`);
};

interface Step {
  readonly course: Course;
  readonly rehearsed: Rehearsed;
}

const carryOut = (entry: ScriptEntry, before: Course, stage: Stage): Outcome<Step> => {
  const now = entry.at === undefined ? ok(before.now) : timeFrom(entry.at, before.now);
  if (!now.ok) return err(atEntry(entry, now.fault));
  if (now.value === undefined)
    return err(
      usage('at-missing', 'the first entry has no time', 'write at: and an instant with its offset', entry.where),
    );
  stage.setTime(now.value);
  const course = { ...before, now: now.value, as: entry.as ?? before.as };
  const act = actOf(entry, course, stage);
  if (!act.ok) return err(atEntry(entry, act.fault));
  const result = stage.submit(act.value);
  const judged = result.ok ? judgeTaken(entry, result.value) : judgeFault(entry, result.fault);
  if (!judged.ok) return judged;
  const started = result.ok && entry.verb === 'start' ? result.value.job : course.job;
  return ok({ course: { ...course, job: started }, rehearsed: judged.value });
};

/**
 * Runs a script, entry by entry, and stops at the first difference from what it expects. `told` is called with each entry once it
 * is on the disk.
 * Faults: `differs` (wrong, exit 1), and those of a script that is written wrongly (usage, exit 2); each with `file:line:column`.
 */
export const rehearseScript = (
  script: Script,
  stage: Stage,
  told: (rehearsed: Rehearsed) => void,
  begun: { readonly as?: string | undefined } = {},
): Outcome<true> => {
  let course: Course = { now: undefined, as: begun.as, job: undefined };
  const progress = stage.workshop.place.progress?.('script');
  const { length } = script.entries;
  for (const [index, entry] of script.entries.entries()) {
    const step = carryOut(entry, course, stage);
    progress?.(step.ok ? index + 1 : length, length);
    if (!step.ok) return step;
    course = step.value.course;
    told(step.value.rehearsed);
  }
  return ok(true);
};
