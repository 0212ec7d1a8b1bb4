import { err, ok, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import type { Data, Datum } from '../../job/entry.ts';
import type { CalculatedBy } from '../../job/verb-spec.ts';
import { verbSpec, type Verb } from '../../job/verbs.ts';
import { parseQuantity } from '../../quantity/quantity.ts';
import { parseDay } from '../../quantity/time.ts';
import { findUnit, type Dimension } from '../../quantity/units.ts';
import type { Pressed } from '../keys.ts';
import { editField, emptyField, fieldOf, fieldText, isEmpty, typeInto, type TextField } from '../drawing/field.ts';
import { own } from '../../fault/own.ts';
import type { FormSubject } from './form-subject.ts';

export interface Choice {
  readonly value: string;
  readonly label: string;
  /** Said in small beside it. */
  readonly aside?: string;
}

/** One thing that is asked. Everything at the bench that is entered is a row of these, asked one at a time. */
export interface Question {
  /** Under which name the answer goes; `weights.resin` is the part `resin` of the map `weights`. */
  readonly name: string;
  readonly ask: string;
  readonly kind: 'text' | 'quantity' | 'whole' | 'choice' | 'yes' | 'names' | 'lines' | 'day' | 'secret';
  readonly required: boolean;
  readonly choices?: readonly Choice[];
  /** Of a bare number. */
  readonly unit?: string;
  /** What is taken where nothing is typed; shown, and only ever for book-keeping, never for a value of the work. */
  readonly proposal?: string;
}

/** Questions that are asked together. */
export interface Questions {
  /** Two forms with one key are the same form: what is typed stays. */
  readonly key: string;
  readonly questions: readonly Question[];
}

/** Questions that together make one act. */
export interface Form extends Questions {
  readonly title: string;
  readonly about: readonly string[];
  readonly verb: Verb;
  readonly job: string;
  /** Who enters it; absent: who is signed on, or the answer `by`. */
  readonly by?: string;
  readonly fixed: Data;
  /** The part of a step that is entered, where its screen draws more than the question. */
  readonly subject?: FormSubject;
}

export type Answers = Readonly<Record<string, string | readonly string[]>>;

/** How far a form is filled in. Answers given are kept while one goes back and forth. */
export interface Filled {
  readonly key: string;
  readonly at: number;
  readonly answers: Answers;
  readonly field: TextField;
  readonly selected: number;
  readonly fault?: Fault;
  /** A value that the calculators handed back; it counts as calculated as long as the answer is this text. */
  readonly calculated?: { readonly value: string; readonly by: CalculatedBy };
}

/** Nothing is typed and nothing is chosen: enter alone never answers a question. */
export const emptyFilled = (key: string): Filled => ({ key, at: 0, answers: {}, field: emptyField, selected: -1 });

/** What is typed for these questions; where the page holds what was typed for others, nothing yet. */
export const filledFor = ({ key }: Questions, filled: Filled | undefined): Filled =>
  filled?.key === key ? filled : emptyFilled(key);

export const questionAt = (form: Questions, filled: Filled): Question | undefined => form.questions[filled.at];

export const choicesOf = (question: Question): readonly Choice[] =>
  question.kind === 'yes'
    ? [
        { value: 'no', label: 'no' },
        { value: 'yes', label: 'yes' },
      ]
    : (question.choices ?? []);

export const isChoice = (question: Question): boolean => question.kind === 'choice' || question.kind === 'yes';

const dimensionOf = (unit: string | undefined): Dimension | undefined =>
  unit === undefined ? undefined : findUnit(unit)?.dimension;

/** A quantity as it is kept: as typed, with the unit that a bare number is in. */
export const withUnit = (text: string, unit: string | undefined): Outcome<string> => {
  const named = unit === undefined ? undefined : findUnit(unit);
  const read = parseQuantity(text, named ? { unit: named } : {});
  if (!read.ok) return read;
  const bare = !parseQuantity(text).ok;
  return ok(bare && named ? `${text} ${named.name}` : text);
};

const readText = (question: Question, text: string): Outcome<string> => {
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
  /** Nothing to take back here: the page itself goes. */
  | { readonly kind: 'back' }
  /** A key that means nothing to a form. */
  | { readonly kind: 'other' };

const kept = (filled: Filled, advanced = false): FormStep => ({ kind: 'filled', filled, advanced });

const without = (filled: Filled): Filled => {
  const { fault: _fault, ...rest } = filled;
  return rest;
};

/** What is in the field now: a value that the calculators handed back is a typed one as soon as anybody changes it. */
const retyped = (filled: Filled, field: TextField): Filled => {
  const { calculated, ...rest } = without(filled);
  const before = fieldText(filled.field);
  const changed = before === calculated?.value && before !== fieldText(field);
  return { ...rest, field, ...(calculated && !changed ? { calculated } : {}) };
};

/** The form at one of its questions, with the answer that it had. */
export const toQuestion = (filled: Filled, at: number, question: Question | undefined, answers: Answers): Filled => {
  const answer = question ? own(answers, question.name) : undefined;
  const choices = question ? choicesOf(question) : [];
  return {
    key: filled.key,
    at,
    answers,
    ...(filled.calculated ? { calculated: filled.calculated } : {}),
    field: typeof answer === 'string' && question?.kind !== 'secret' ? fieldOf(answer) : emptyField,
    selected: choices.findIndex(({ value }) => value === answer),
  };
};

const next = (form: Questions, filled: Filled, answers: Answers): FormStep => {
  const at = filled.at + 1;
  if (at >= form.questions.length) return { kind: 'whole', filled: { ...without(filled), answers }, answers };
  return kept(toQuestion(filled, at, form.questions[at], answers), true);
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
  return next(form, filled, answered(filled, question, read.value));
};

const back = (form: Questions, filled: Filled): FormStep => {
  if (!isEmpty(filled.field)) return kept(retyped(filled, emptyField));
  const question = questionAt(form, filled);
  const lines = question?.kind === 'lines' ? own(filled.answers, question.name) : undefined;
  if (question && Array.isArray(lines) && lines.length > 0)
    return kept({ ...without(filled), answers: answered(filled, question, (lines as readonly string[]).slice(0, -1)) });
  if (filled.at === 0) return { kind: 'back' };
  return kept(toQuestion(filled, filled.at - 1, form.questions[filled.at - 1], filled.answers));
};

const move = (filled: Filled, count: number, by: number): FormStep =>
  kept({ ...without(filled), selected: Math.min(Math.max(0, filled.selected + by), Math.max(0, count - 1)) });

/** One key in a form. Nothing typed is dropped: a letter goes into the field, wherever it comes from. */
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
    const step = { up: -1, down: 1, 'page-up': -5, 'page-down': 5 }[key.act as string];
    return step === undefined ? { kind: 'other' } : move(filled, choicesOf(question).length, step);
  }
  const edited = editField(filled.field, key.act);
  return edited ? kept(retyped(filled, edited)) : { kind: 'other' };
};

/** Whether a verb keeps this answer as a whole number; a reading that counts keeps what was typed. */
const isWhole = (form: Form, name: string): boolean => {
  const { object, fields } = verbSpec(form.verb);
  return [...(object ? [object] : []), ...fields].find((field) => field.name === name)?.kind === 'whole';
};

const asDatum = (form: Form, question: Question, answer: string | readonly string[]): Datum => {
  if (typeof answer !== 'string') return answer;
  if (question.kind === 'whole') return isWhole(form, question.name) ? Number(answer) : answer;
  if (question.kind === 'yes') return answer === 'yes';
  if (question.kind !== 'names') return answer;
  return answer
    .split(',')
    .map((name) => name.trim())
    .filter((name) => name !== '');
};

/** How the value was calculated, where it still is what the calculators handed back. */
export const calculatedIn = (filled: Filled, value: string | undefined): CalculatedBy | undefined =>
  filled.calculated?.value === value ? filled.calculated?.by : undefined;

/** What was answered before of a field that is asked for part by part. */
const partsIn = (datum: Datum | undefined): Readonly<Record<string, Datum>> =>
  typeof datum === 'object' && datum !== null && !Array.isArray(datum)
    ? (datum as Readonly<Record<string, Datum>>)
    : {};

/**
 * The answers as the data of an act. Left out: what was not answered, a plain no, who enters it (`by`), passphrases. With `calculated`, how
 * the value was calculated.
 */
export const formData = (form: Form, answers: Answers, calculated?: CalculatedBy): Data => {
  const data: Record<string, Datum> = { ...form.fixed, ...(calculated ? { calculated: { ...calculated } } : {}) };
  for (const question of form.questions) {
    const answer = own(answers, question.name);
    if (answer === undefined || answer === '' || question.kind === 'secret' || question.name === 'by') continue;
    if (question.kind === 'yes' && answer === 'no') continue;
    const [name, part] = question.name.split('.', 2) as [string, string?];
    const datum = asDatum(form, question, answer);
    data[name] =
      part === undefined
        ? datum
        : { ...partsIn(data[name]), [part]: typeof answer === 'string' ? answer : answer.join(' ') };
  }
  return data;
};
