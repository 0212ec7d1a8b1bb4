import { ok, type Fault, type Outcome } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { parsePastTime } from '../../quantity/past-time.ts';
import { isEmpty } from '../drawing/field.ts';
import { isKey, type Pressed } from '../keys.ts';
import type { Act, BenchFacts, Secrets } from '../ports.ts';
import { newcomerSecret } from './newcomer.ts';
import { refusedNow } from './ahead.ts';
import { bounces, bouncesOn, commit } from './commit.ts';
import { filledFor, isChoice, questionAt, type Answers, type Filled, type Form } from './form.ts';
import { calculatedIn, formData } from './form-data.ts';
import { pressInForm } from './press-in-form.ts';
import { nothing, push, withoutAnswer, type Session, type Turn } from './state.ts';

const textIn = (answers: Answers, name: string): string | undefined => {
  const answer = own(answers, name);
  return typeof answer === 'string' ? answer : undefined;
};

const signer = (session: Session, form: Form, answers: Answers): string => {
  return form.by ?? textIn(answers, 'by') ?? session.by ?? '';
};

/** The passphrases that a newcomer chose in a form. They go with the act, and are no part of its data. */
const chosenIn = (form: Form, answers: Answers): Secrets =>
  Object.fromEntries(
    form.questions.flatMap(({ name, kind }) => {
      const text = kind === 'secret' ? textIn(answers, name) : undefined;
      return text === undefined ? [] : [[newcomerSecret(name), text]];
    }),
  );

/** The act of a form that is whole; a fault where the time that it gives cannot be read. */
const actOfForm = (
  session: Session,
  form: Form,
  filled: Filled,
  answers: Answers,
  { now }: BenchFacts,
): Outcome<Act> => {
  const said = textIn(answers, 'when');
  const when = said === undefined ? undefined : parsePastTime(said, now.ms, now.offset);
  if (when?.ok === false) return when;
  return ok({
    verb: form.verb,
    job: form.job,
    by: signer(session, form, answers),
    data: formData(form, answers, calculatedIn(filled, textIn(answers, 'value'))),
    ...(when === undefined ? {} : { when: when.value }),
  });
};

/** Shows why a form's act would be refused, over what is shown, before anything more is asked. */
const refusedAhead = (session: Session, form: Form, fault: Fault, ms: number): Session => {
  const act: Act = { verb: form.verb, job: form.job, by: session.by ?? '', data: form.fixed };
  // A finger that bounces on enter must not dismiss the refusal unread.
  return { ...push(withoutAnswer(session), { page: 'refused', fault, act, form, scroll: 0 }), advanced: ms };
};

/** One key in the form of a page; `put` puts what is filled in back on that page. `undefined`: the form has no use for the key. */
export const pressForm = (
  session: Session,
  form: Form,
  filled: Filled,
  key: Pressed,
  facts: BenchFacts,
  ms: number,
  put: (filled: Filled) => Session,
): Turn | 'back' | undefined => {
  const question = questionAt(form, filled);
  const bare = question !== undefined && (isChoice(question) || isEmpty(filled.field));
  if (bare && (isKey(key, ' ') || isKey(key, '?'))) return undefined;
  if (key.kind === 'act' && key.act === 'take') {
    const last = filled.at === form.questions.length - 1 && question?.kind !== 'lines';
    if (bare && bouncesOn(session, ms)) return nothing(session);
    if (last && (bounces(session, ms) || session.waiting)) return nothing(session);
  }
  const step = pressInForm(form, filled, key);
  if (step.kind === 'other') return undefined;
  if (step.kind === 'back') return 'back';
  if (step.kind === 'filled') {
    const fault = step.advanced ? refusedNow(facts, form, step.filled.answers, step.filled.at) : undefined;
    if (fault) return nothing(refusedAhead(put(filled), form, fault, ms));
    const next = put(step.filled);
    return nothing(step.advanced ? { ...withoutAnswer(next), advanced: ms } : next);
  }
  const act = actOfForm(session, form, step.filled, step.answers, facts);
  return act.ok
    ? commit(put(step.filled), act.value, ms, chosenIn(form, step.answers))
    : nothing(put({ ...filled, fault: act.fault }));
};

/** Opens a form, unless its act would be refused whatever is answered: then that is shown instead, with the ways on. */
export const openFormUnlessRefused = (session: Session, facts: BenchFacts, form: Form, ms: number): Session => {
  const fault = refusedNow(facts, form);
  return fault ? refusedAhead(session, form, fault, ms) : openForm(session, form);
};

/** Opens a form on a page of its own, over what is shown. */
export const openForm = (session: Session, form: Form): Session =>
  push(withoutAnswer(session), {
    page: 'form',
    form,
    filled: filledFor(form, undefined, session.drafts),
    scroll: 0,
  });
