import { own } from '../../fault/own.ts';
import { err, ok, usage, type Outcome } from '../../fault/fault.ts';
import { parseQuantity } from '../../quantity/quantity.ts';
import { parseDay } from '../../quantity/time.ts';
import { findUnit, type Dimension } from '../../quantity/units.ts';
import { editField, emptyField, fieldOf, fieldText, isEmpty, typeInto, type TextField } from '../drawing/field.ts';
import type { Pressed } from '../keys.ts';
import { choicesOf, isChoice, questionAt, type Answers, type Filled, type Question, type Questions } from './form.ts';
import { moveOf } from './press-list.ts';

const dimensionOf = (unit: string | undefined): Dimension | undefined =>
  unit === undefined ? undefined : findUnit(unit)?.dimension;

/** A quantity as it is saved: as typed, and with `unit` where only a number was typed. */
export const withUnit = (text: string, unit: string | undefined): Outcome<string> => {
  const named = unit === undefined ? undefined : findUnit(unit);
  const read = parseQuantity(text, named ? { unit: named } : {});
  if (!read.ok) return read;
  const bare = !parseQuantity(text).ok;
  return ok(bare && named ? `${text} ${named.name}` : text);
};

const readText = (question: Question, text: string): Outcome<string> => {
  if (question.only !== undefined && text !== question.only)
    return err(usage('answer-unreadable', `${text} is not ${question.only}`, `type ${question.only}, or go back`));
  if (question.kind === 'quantity') {
    const read = withUnit(text, question.unit);
    const wanted = dimensionOf(question.unit);
    if (read.ok && wanted === undefined) return ok(text);
    return read;
  }
  if (question.kind === 'whole' && !/^\d{1,9}$/.test(text))
    return err(usage('whole-unreadable', `${text} is no whole number`, 'type digits only'));
  if (question.kind === 'day') {
    const day = parseDay(text);
    return day.ok ? ok(text) : day;
  }
  return ok(text);
};

export type FormStep =
  | { readonly kind: 'filled'; readonly filled: Filled; readonly advanced: boolean }
  | { readonly kind: 'whole'; readonly filled: Filled; readonly answers: Answers }
  /** There is nothing left to clear or to go back to in the form: the page itself closes. */
  | { readonly kind: 'back' }
  /** A key that means nothing to a form. */
  | { readonly kind: 'other' };

const kept = (filled: Filled, advanced = false): FormStep => ({ kind: 'filled', filled, advanced });

const without = (filled: Filled): Filled => {
  const { fault: _fault, ...rest } = filled;
  return rest;
};

/** The form with another text in its field. A calculated value counts as typed as soon as anybody changes it. */
const retyped = (filled: Filled, field: TextField): Filled => {
  const { calculated, ...rest } = without(filled);
  const before = fieldText(filled.field);
  const changed = before === calculated?.value && before !== fieldText(field);
  return { ...rest, field, ...(calculated && !changed ? { calculated } : {}) };
};

/** The form at one of its questions, with the answer given there before. */
export const toQuestion = (filled: Filled, at: number, question: Question | undefined, answers: Answers): Filled => {
  const answer = question ? own(answers, question.name) : undefined;
  const choices = question ? choicesOf(question) : [];
  const typed = (question && own(filled.typed ?? {}, question.name)) ?? answer;
  return {
    key: filled.key,
    at,
    answers,
    ...(filled.typed ? { typed: filled.typed } : {}),
    ...(filled.calculated ? { calculated: filled.calculated } : {}),
    field: typeof typed === 'string' && question?.kind !== 'secret' ? fieldOf(typed) : emptyField,
    selected: choices.findIndex(({ value }) => value === answer),
  };
};

const next = (form: Questions, filled: Filled, answers: Answers): FormStep => {
  const at = filled.at + 1;
  if (at >= form.questions.length) return { kind: 'whole', filled: { ...without(filled), answers }, answers };
  return kept(toQuestion(filled, at, form.questions[at], answers), true);
};

/** Once a question is answered, what was typed for it before is no longer wanted. */
const answeredFilled = (filled: Filled, question: Question): Filled => {
  const { [question.name]: _before, ...typed } = filled.typed ?? {};
  return { ...without(filled), typed };
};

const answered = (filled: Filled, question: Question, answer: string | readonly string[] | undefined): Answers => {
  const others = Object.fromEntries(Object.entries(filled.answers).filter(([name]) => name !== question.name));
  return answer === undefined ? others : { ...others, [question.name]: answer };
};

const wanting = (filled: Filled, question: Question): FormStep =>
  kept({ ...filled, fault: usage('answer-missing', `${question.ask}: nothing is typed`, 'type it, then enter') });

const takeLine = (form: Questions, filled: Filled, question: Question, text: string): FormStep => {
  const before = own(filled.answers, question.name);
  const lines = Array.isArray(before) ? (before as readonly string[]) : [];
  if (text !== '') {
    const answers = answered(filled, question, [...lines, text]);
    return kept({ ...without(filled), answers, field: emptyField }, true);
  }
  return question.required && lines.length === 0 ? wanting(filled, question) : next(form, filled, filled.answers);
};

const takeChoice = (form: Questions, filled: Filled, question: Question): FormStep => {
  const choice = choicesOf(question)[filled.selected];
  return choice
    ? next(form, without(filled), answered(filled, question, choice.value))
    : kept({
        ...filled,
        fault: usage('answer-missing', 'nothing is chosen', 'choose with a digit or the arrows, then enter'),
      });
};

const takeText = (form: Questions, filled: Filled, question: Question): FormStep => {
  const typed = question.kind === 'secret' ? fieldText(filled.field) : fieldText(filled.field).trim();
  if (question.kind === 'lines') return takeLine(form, filled, question, typed);
  const text = typed === '' ? (question.proposal ?? '') : typed;
  if (text === '' && question.kind !== 'secret')
    return question.required ? wanting(filled, question) : next(form, filled, answered(filled, question, undefined));
  const read = readText(question, text);
  if (!read.ok) return kept({ ...filled, fault: read.fault });
  return next(form, answeredFilled(filled, question), answered(filled, question, read.value));
};

/** What is typed for a question and not saved is kept until that is done. A secret is not. */
const setAside = (filled: Filled, question: Question | undefined): Filled => {
  if (!question || isChoice(question)) return filled;
  const { [question.name]: _before, ...others } = filled.typed ?? {};
  const text = question.kind === 'secret' ? '' : fieldText(filled.field);
  return { ...filled, typed: text === '' ? others : { ...others, [question.name]: text } };
};

const back = (form: Questions, filled: Filled): FormStep => {
  const question = questionAt(form, filled);
  const isBare = isEmpty(filled.field);
  const lines = isBare && question?.kind === 'lines' ? own(filled.answers, question.name) : undefined;
  if (question && Array.isArray(lines) && lines.length > 0)
    return kept({ ...without(filled), answers: answered(filled, question, (lines as readonly string[]).slice(0, -1)) });
  if (filled.at === 0) return { kind: 'back' };
  const before = form.questions[filled.at - 1];
  return kept(toQuestion(setAside(filled, question), filled.at - 1, before, filled.answers));
};

const move = (filled: Filled, count: number, by: number): FormStep =>
  kept({ ...without(filled), selected: Math.min(Math.max(0, filled.selected + by), Math.max(0, count - 1)) });

/** One key in a form. No character is dropped: whatever is typed goes into the field. */
export const pressInForm = (form: Questions, filled: Filled, key: Pressed): FormStep => {
  const question = questionAt(form, filled);
  if (!question) return { kind: 'other' };
  if (key.kind === 'typed') {
    if (!isChoice(question)) return kept(retyped(filled, typeInto(filled.field, key.text)));
    const count = choicesOf(question).length;
    return key.digit !== undefined && key.digit >= 1 && key.digit <= Math.min(9, count)
      ? kept({ ...without(filled), selected: key.digit - 1 })
      : { kind: 'other' };
  }
  if (key.act === 'take')
    return isChoice(question) ? takeChoice(form, filled, question) : takeText(form, filled, question);
  if (key.act === 'back') return back(form, filled);
  if (isChoice(question)) {
    const step = moveOf(key);
    return step === undefined ? { kind: 'other' } : move(filled, choicesOf(question).length, step);
  }
  const edited = editField(filled.field, key.act);
  return edited ? kept(retyped(filled, edited)) : { kind: 'other' };
};
