import { remoteLookFault } from '../job/acts/release.ts';
import { lookVerbs, isLookVerb, type LookVerb } from '../job/verbs.ts';
import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import type { Data } from '../job/entry.ts';
import type { JobState } from '../job/state.ts';
import { currentStep } from '../job/where.ts';
import { powersOf } from '../aircraft/state.ts';
import { asAnswer, answerText, checkAnswer } from '../workshop/answers.ts';
import { findJob } from '../workshop/find-job.ts';
import { readCarried } from './carried.ts';
import { printDone } from './do.ts';
import { failed } from './fail.ts';
import { submit, whoEnters, withState, type OpenedWorkshop } from './open.ts';
import type { Call, CommandSpec } from './spec.ts';

/** The step of the hold: the one that is named, else the open one. */
const stepOf = (call: Call, job: JobState): Outcome<string> => {
  const named = call.text('step');
  if (named !== undefined) return ok(named);
  const open = currentStep(job);
  return open?.hold
    ? ok(open.step)
    : err(usage('step-missing', `${job.id} does not stand at a hold`, 'name the step of the hold with --step STEP'));
};

const kindOf = (call: Call): Outcome<LookVerb> => {
  const kind = call.text('for') ?? '';
  return isLookVerb(kind)
    ? ok(kind)
    : err(usage('value-unreadable', `--for ${kind} is no answer`, `write --for ${lookVerbs.join('|')}`));
};

/** Who is to sign it: the person named, or the only one with the power that the hold wants. */
const inspectorOf = (call: Call, opened: OpenedWorkshop, job: JobState, step: string): Outcome<string> => {
  const named = call.text('as');
  if (named !== undefined) return ok(named);
  const power = job.plan.steps.find((one) => one.step === step)?.hold?.by;
  const state = opened.workshop.state();
  const able = Object.keys(state.keys).filter(
    (person) => power !== undefined && powersOf(state, person).includes(power),
  );
  const [only] = able;
  return able.length === 1 && only !== undefined
    ? ok(only)
    : err(usage('person-missing', 'nobody is named who is to sign', 'name them with --as PERSON'));
};

/** What a look says in words, beside its remark. */
const said = ['shown', 'not-judged', 'reason'] as const;

const contentOf = (call: Call, kind: LookVerb): Outcome<Data> => {
  const findings = call.texts('finding');
  const remark = call.text('remark');
  if (kind === 'refuse' && findings.length === 0)
    return err(usage('field-missing', 'a refusal says what must be put right', 'add --finding TEXT, once for each'));
  if (kind !== 'refuse' && findings.length > 0)
    return err(usage('field-unknown', 'findings go with a refusal', 'write --for refuse, or leave them out'));
  const words = Object.fromEntries(
    said.flatMap((name) => (call.text(name) === undefined ? [] : [[name, call.text(name) ?? '']])),
  );
  const remote = call.flag('remote');
  const fault = kind === 'release' ? remoteLookFault({ ...words, remote }) : undefined;
  if (fault !== undefined) return err(fault);
  return ok({
    ...(remark === undefined ? {} : { remark }),
    ...words,
    ...(remote ? { remote: true } : {}),
    ...(findings.length === 0 ? {} : { findings }),
  });
};

const makeAnswer = (call: Call, opened: OpenedWorkshop, job: JobState): Outcome<string> => {
  const kind = kindOf(call);
  if (!kind.ok) return kind;
  const step = stepOf(call, job);
  if (!step.ok) return step;
  const person = inspectorOf(call, opened, job, step.value);
  if (!person.ok) return person;
  const data = contentOf(call, kind.value);
  if (!data.ok) return data;
  return answerText(opened.workshop.state(), {
    job,
    step: step.value,
    answer: kind.value,
    person: person.value,
    data: data.value,
    nonce: Buffer.from(opened.place.random(16)).toString('hex'),
  });
};

/** Takes in a signed answer. Whatever does not fit is refused with a code of its own; then the rules decide as for an answer in person. */
const takeAnswer = async (call: Call, opened: OpenedWorkshop, job: JobState, typed: string): Promise<number> => {
  const carried = readCarried(call, opened, typed, asAnswer);
  if (!carried.ok) return failed(call, carried.fault);
  const { workshop } = opened;
  const step = call.text('step');
  const read = checkAnswer(carried.value.text, carried.value.signature, {
    state: workshop.state(),
    job,
    read: workshop.openState.read,
    isNew: true,
    ...(step === undefined ? {} : { step }),
  });
  if (!read.ok) return failed(call, read.fault);
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const { answer, data, told } = read.value;
  for (const one of told) call.print.note(`note: ${one}`);
  const done = await submit(call, opened, { verb: answer.answer, job: job.id, by: by.value, data });
  return done.ok ? printDone(call, done.value) : failed(call, done.fault);
};

const neither: Fault = usage(
  'word-missing',
  'an answer is made with --for, or taken in with --answer',
  'write: dryfit hold JOB --for release|refuse, or: dryfit hold JOB --answer FILE',
);

const run = async (call: Call, opened: OpenedWorkshop): Promise<number> => {
  const [word] = call.words;
  if (word === undefined) return failed(call, usage('word-missing', 'no job is named', 'write: dryfit hold JOB …'));
  const job = findJob(opened.workshop.state(), word);
  if (!job.ok) return failed(call, job.fault);
  const file = call.text('answer');
  if (file !== undefined) return takeAnswer(call, opened, job.value, file);
  if (call.text('for') === undefined) return failed(call, neither);
  const text = makeAnswer(call, opened, job.value);
  if (!text.ok) return failed(call, text.fault);
  call.print.raw(text.value);
  call.print.note('note: sign it unchanged with: ssh-keygen -Y sign -n dryfit-hold -f KEY FILE');
  return 0;
};

export const holdCommand: CommandSpec = {
  name: 'hold',
  about: 'an answer to a hold, to be signed elsewhere, and taken in',
  usage: [
    'dryfit hold JOB --for release|refuse|reinspect [--step STEP] [--as PERSON] > answer.json',
    'dryfit hold JOB --answer answer.json [--step STEP] [--as PERSON]',
  ],
  options: {
    for: { type: 'string', value: 'ANSWER', about: 'what the answer says' },
    step: { type: 'string', value: 'STEP', about: 'which hold; else the open one' },
    finding: { type: 'string', value: 'TEXT', multiple: true, about: 'what must be put right; once for each' },
    remark: { type: 'string', value: 'TEXT', about: 'what was seen' },
    remote: { type: 'boolean', about: 'looked at from elsewhere; wants --shown and --not-judged' },
    shown: { type: 'string', value: 'TEXT', about: 'what was shown, for a look from elsewhere' },
    'not-judged': { type: 'string', value: 'TEXT', about: 'what could not be judged from elsewhere' },
    reason: { type: 'string', value: 'TEXT', about: 'why the performer looks again at their own work' },
    answer: { type: 'string', value: 'FILE', about: 'a signed answer; its signature lies beside it, FILE.sig' },
  },
  more: [
    'The answer names what was inspected as it stands now; it is signed with: ssh-keygen -Y sign -n dryfit-hold -f KEY answer.json',
    'With --answer, --as names who carries it in, and signs that.',
  ],
  run: (call) => withState(call, call.text('answer') === undefined ? 'read' : 'write', (opened) => run(call, opened)),
};
