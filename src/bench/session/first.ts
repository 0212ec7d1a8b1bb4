import { proposedGates, readGates } from '../../aircraft/gates/list.ts';
import { usage } from '../../fault/fault.ts';
import { isKey, type Pressed } from '../keys.ts';
import { isEmpty } from '../drawing/field.ts';
import { bouncesOn } from './commit.ts';
import type { ThemeName } from '../theme.ts';
import {
  choicesOf,
  emptyFilled,
  questionAt,
  type Answers,
  type Filled,
  type Question,
  type Questions,
} from './form.ts';
import { idFrom } from './newcomer.ts';
import { pressInForm } from './press-in-form.ts';
import { nothing, replaceTop, withoutAnswer, type Effect, type Page, type Session, type Turn } from './state.ts';
import { own } from '../../fault/own.ts';

const text = (answers: Answers, name: string): string => {
  const answer = own(answers, name);
  return typeof answer === 'string' ? answer : '';
};

/** What is chosen here shows at once. */
const themeQuestion: Question = {
  name: 'theme',
  ask: 'What can you read best here?',
  kind: 'choice',
  required: true,
  choices: [
    { value: 'dark', label: 'dark background' },
    { value: 'light', label: 'light background' },
    { value: 'none', label: 'no colour' },
  ],
};

/** The questions of the first run, for the first person of a build, who gets a key. */
export const firstQuestions = ({
  filled: { answers },
  asksTheme,
}: Pick<FirstPage, 'filled' | 'asksTheme'>): Questions => ({
  key: 'first',
  questions: [
    ...(asksTheme ? [themeQuestion] : []),
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
      ask: `Gates of this aircraft, in their order. Enter saves: ${proposedGates.join(', ')}. Type yours, or none`,
      kind: 'text',
      required: true,
      proposal: proposedGates.join(', '),
    },
    { name: 'passphrase', ask: 'A passphrase for your key', kind: 'secret', required: false, skips: 'no passphrase' },
    { name: 'again', ask: 'The passphrase again', kind: 'secret', required: false },
  ],
});

export const firstPage = (asksTheme: boolean): FirstPage => ({
  page: 'first',
  filled: emptyFilled('first'),
  asksTheme,
  scroll: 0,
});

type FirstPage = Extract<Page, { page: 'first' }>;

/** Goes back to one of the questions with what was wrong. A passphrase is typed anew. */
const backTo = ({ filled, asksTheme }: FirstPage, name: string, what: string, todo: string): Filled => {
  const order = ['theme', 'name', 'person', 'gates'];
  const kept = Object.fromEntries(
    Object.entries(filled.answers).filter(([one]) => order.includes(one) && order.indexOf(one) < order.indexOf(name)),
  );
  const at = firstQuestions({ filled, asksTheme }).questions.findIndex((question) => question.name === name);
  return { ...emptyFilled(filled.key), at, answers: kept, fault: usage('answer-unreadable', what, todo) };
};

const chosenTheme = (filled: Filled): ThemeName | undefined => {
  const theme = text(filled.answers, 'theme');
  return theme === 'dark' || theme === 'light' || theme === 'none' ? theme : undefined;
};

const themeEffects = (filled: Filled): readonly Effect[] => {
  const theme = chosenTheme(filled);
  return theme ? [{ kind: 'keep', setting: 'theme', value: theme }] : [];
};

/** The screen as it looks with what is chosen, or pointed at. */
const withTheme = (session: Session, page: FirstPage): Session => {
  const question = questionAt(firstQuestions(page), page.filled);
  const pointed = question?.name === 'theme' ? choicesOf(question)[page.filled.selected]?.value : undefined;
  const theme =
    pointed === undefined ? chosenTheme(page.filled) : chosenTheme({ ...page.filled, answers: { theme: pointed } });
  return theme ? { ...session, theme } : session;
};

/** All questions are answered. Nobody could sign an entry yet, so the port introduces the person. */
const introduce = (session: Session, page: FirstPage, filled: Filled): Turn => {
  const now = { ...page, filled };
  const show = (shown: Filled): Turn => nothing(replaceTop(session, { ...page, filled: shown }));
  const person = text(filled.answers, 'person');
  if (!/^[a-z0-9]+(-[a-z0-9]+)*$/.test(person))
    return show(backTo(now, 'person', `${person} is not an id`, 'use a to z, digits, and hyphens between'));
  const gates = readGates(text(filled.answers, 'gates'));
  if (!gates.ok) return show(backTo(now, 'gates', gates.fault.what, gates.fault.todo));
  const passphrase = text(filled.answers, 'passphrase');
  if (passphrase !== text(filled.answers, 'again'))
    return show(backTo(now, 'passphrase', 'the two passphrases differ', 'type it twice the same'));
  return {
    session: { ...session, by: person },
    effects: [
      ...themeEffects(filled),
      { kind: 'introduce', newcomer: { person, name: text(filled.answers, 'name'), passphrase, gates: gates.value } },
    ],
  };
};

export const pressFirst = (session: Session, page: FirstPage, key: Pressed, ms: number): Turn | undefined => {
  const form = firstQuestions(page);
  const take = key.kind === 'act' && key.act === 'take';
  if (isEmpty(page.filled.field) && isKey(key, '?') && questionAt(form, page.filled)?.kind !== 'secret')
    return undefined;
  if (take && isEmpty(page.filled.field) && bouncesOn(session, ms)) return nothing(session);
  const step = pressInForm(form, page.filled, key);
  if (step.kind === 'whole') return introduce(session, page, step.filled);
  if (step.kind !== 'filled') return undefined;
  // Without a passphrase there is nothing to repeat.
  const repeats = questionAt(form, step.filled)?.name === 'again' && text(step.filled.answers, 'passphrase') === '';
  if (step.advanced && repeats) return introduce(session, page, step.filled);
  const after = { ...page, filled: step.filled };
  const next = withTheme(replaceTop(session, after), after);
  return nothing(step.advanced ? { ...withoutAnswer(next), advanced: ms } : next);
};
