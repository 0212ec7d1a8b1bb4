import { verbNames, verbSpec } from '../job/verbs.ts';
import { ok, usage, err, type Outcome } from '../fault/fault.ts';
import type { Intent, Done } from '../workshop/intent.ts';
import { withPaths } from '../workshop/attached-files.ts';
import type { BuildState } from '../aircraft/state.ts';
import { findJob, onlyOpenJob } from '../workshop/find-job.ts';
import { readVerb, readWords, verbForm } from '../workshop/words.ts';
import { parseInstant } from '../quantity/time.ts';
import { doneLines } from './lines.ts';
import { failed } from './fail.ts';
import { submit, whoEnters, withState, type OpenedWorkshop } from './open.ts';
import type { Call, CommandSpec } from './spec.ts';

const tooFew = usage(
  'word-missing',
  'a job and a verb are wanted',
  'write: dryfit do JOB VERB …; dryfit do --help lists the verbs',
);

const whenOf = (call: Call): Outcome<string | undefined> => {
  const when = call.text('when');
  if (when === undefined) return ok(undefined);
  const read = parseInstant(when);
  return read.ok ? ok(when) : read;
};

const jobNamed = (state: BuildState, word: string): Outcome<{ readonly id: string }> =>
  word === '-' ? onlyOpenJob(state) : findJob(state, word);

/** The act typed as `JOB VERB object key=value…`. Where a verb belongs to the whole build, `-` stands for the job. */
const actOf = (call: Call, opened: OpenedWorkshop): Outcome<Intent> => {
  const [jobWord, verbWord, ...words] = call.words;
  if (jobWord === undefined || verbWord === undefined) return err(tooFew);
  const verb = readVerb(verbWord);
  if (!verb.ok) return verb;
  const data = readWords(verb.value, words);
  if (!data.ok) return data;
  const by = whoEnters(opened);
  if (!by.ok) return by;
  const when = whenOf(call);
  if (!when.ok) return when;
  const forBuild = verbSpec(verb.value).scope === 'build';
  // A temperature, typed or imported, belongs to the build, and is corrected there.
  const isOfBuild = forBuild || verb.value === 'correct';
  const job = isOfBuild && jobWord === '-' ? ok({ id: '' }) : jobNamed(opened.workshop.state(), jobWord);
  if (!job.ok) return job;
  return ok({
    verb: verb.value,
    job: forBuild ? '' : job.value.id,
    by: by.value,
    data: withPaths(verb.value, data.value, call.host.env.cwd),
    ...(when.value === undefined ? {} : { when: when.value }),
  });
};

export const printDone = (call: Call, done: Done): number => {
  if (call.flag('json')) call.print.json(done);
  else call.print.lines(...doneLines(done));
  return 0;
};

export const doCommand: CommandSpec = {
  name: 'do',
  about: 'makes one entry',
  usage: ['dryfit do JOB VERB [OBJECT] [key=value …]'],
  options: { when: { type: 'string', value: 'T', about: 'when it happened, where that is not now' } },
  more: [
    'JOB is the id of a job, the beginning of one, or its procedure where only one is open; - for what belongs to the whole build, and for',
    'the only open job.',
    'A list repeats its key; a map uses a dot: weights.resin="100 g".',
    ...verbNames.map((verb) => `  ${verbForm(verb)}`),
  ],
  run: (call) =>
    withState(call, 'write', async (opened) => {
      const act = actOf(call, opened);
      if (!act.ok) return failed(call, act.fault);
      const done = await submit(call, opened, act.value);
      return done.ok ? printDone(call, done.value) : failed(call, done.fault);
    }),
};
