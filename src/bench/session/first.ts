import { proposedGates, readGates } from '../../aircraft/gates/list.ts';
import { usage } from '../../fault/fault.ts';
import type { Pressed } from '../keys.ts';
import { isEmpty } from '../drawing/field.ts';
import { bouncesOn } from './commit.ts';
import { emptyFilled, questionAt, type Answers, type Filled, type Questions } from './form.ts';
import { pressInForm } from './press-in-form.ts';
import { nothing, replaceTop, withoutAnswer, type Page, type Session, type Turn } from './state.ts';
import { own } from '../../fault/own.ts';

/** A name as a person's id: `Ines Varrow` becomes `ines-varrow`. Empty where no character of it can be written in `[a-z0-9-]`. */
const idFrom = (name: string): string =>
  name
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');

const text = (answers: Answers, name: string): string => {
  const answer = own(answers, name);
  return typeof answer === 'string' ? answer : '';
};

/** The questions of the first run, for the first person of a build, who gets a key. */
export const firstQuestions = (answers: Answers): Questions => ({
  key: 'first',
  questions: [
    { name: 'name', ask: 'Your name', kind: 'text', required: true },
    {
      name: 'person',
      ask: 'Your id in this build',
      kind: 'text',
      required: true,
      proposal: idFrom(text(answers, 'name')),
    },
    {
      name: 'gates',
      ask: `Gates of this aircraft, in their order. Enter takes: ${proposedGates.join(', ')}. Type yours, or none`,
      kind: 'text',
      required: true,
      proposal: proposedGates.join(', '),
    },
    { name: 'passphrase', ask: 'A passphrase for your key; empty for none', kind: 'secret', required: false },
    { name: 'again', ask: 'The passphrase again', kind: 'secret', required: false },
  ],
});

export const firstPage = (): FirstPage => ({ page: 'first', filled: emptyFilled('first'), scroll: 0 });

type FirstPage = Extract<Page, { page: 'first' }>;

/** Goes back to one of the questions with what was wrong. A passphrase is typed anew. */
const backTo = (filled: Filled, at: number, what: string, todo: string): Filled => {
  const order = ['name', 'person', 'gates'];
  const kept = Object.fromEntries(
    Object.entries(filled.answers).filter(([name]) => order.includes(name) && order.indexOf(name) < at),
  );
  return { ...emptyFilled(filled.key), at, answers: kept, fault: usage('answer-unreadable', what, todo) };
};

/** All questions are answered. Nobody could sign an entry yet, so the port introduces the person. */
const introduce = (session: Session, page: FirstPage, filled: Filled): Turn => {
  const show = (shown: Filled): Turn => nothing(replaceTop(session, { ...page, filled: shown }));
  const person = text(filled.answers, 'person');
  if (!/^[a-z0-9]+(-[a-z0-9]+)*$/.test(person))
    return show(backTo(filled, 1, `${person} is no id`, 'use a to z, digits, and hyphens between'));
  const gates = readGates(text(filled.answers, 'gates'));
  if (!gates.ok) return show(backTo(filled, 2, gates.fault.what, gates.fault.todo));
  const passphrase = text(filled.answers, 'passphrase');
  if (passphrase !== text(filled.answers, 'again'))
    return show(backTo(filled, 3, 'the two passphrases differ', 'type it twice the same'));
  return {
    session: { ...session, by: person },
    effects: [
      { kind: 'introduce', newcomer: { person, name: text(filled.answers, 'name'), passphrase, gates: gates.value } },
    ],
  };
};

export const pressFirst = (session: Session, page: FirstPage, key: Pressed, ms: number): Turn | undefined => {
  const form = firstQuestions(page.filled.answers);
  const take = key.kind === 'act' && key.act === 'take';
  if (take && isEmpty(page.filled.field) && bouncesOn(session, ms)) return nothing(session);
  const step = pressInForm(form, page.filled, key);
  if (step.kind === 'whole') return introduce(session, page, step.filled);
  if (step.kind !== 'filled') return undefined;
  // Without a passphrase there is nothing to repeat.
  const repeats = questionAt(form, step.filled)?.name === 'again' && text(step.filled.answers, 'passphrase') === '';
  if (step.advanced && repeats) return introduce(session, page, step.filled);
  const next = replaceTop(session, { ...page, filled: step.filled });
  return nothing(step.advanced ? { ...withoutAnswer(next), advanced: ms } : next);
};
