import type { Fault } from '../../fault/fault.ts';
import type { Data } from '../../job/entry.ts';
import type { CalculatedBy } from '../../job/verb-spec.ts';
import type { Verb } from '../../job/verbs.ts';
import { emptyField, type TextField } from '../drawing/field.ts';
import type { FormSubject } from './form-subject.ts';

export interface Choice {
  readonly value: string;
  readonly label: string;
  /** Shown beside it in small. */
  readonly aside?: string;
}

/** One question. Everything that is entered at the bench is a series of these, asked one at a time. */
export interface Question {
  /** The field of the entry that the answer fills; `weights.resin` is the part `resin` of the map `weights`. */
  readonly name: string;
  readonly ask: string;
  readonly kind: 'text' | 'quantity' | 'whole' | 'choice' | 'yes' | 'names' | 'lines' | 'day' | 'secret';
  readonly required: boolean;
  readonly choices?: readonly Choice[];
  /** The unit of a number typed without one. */
  readonly unit?: string;
  /** Saved where nothing is typed, and shown before. Only for book-keeping, such as a person's id, never for a value of the work. */
  readonly proposal?: string;
}

/** Questions that are asked together. */
export interface Questions {
  /** Forms with the same key are one form: what is typed in it stays. */
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

/** How far a form is filled in. Answers stay while a person goes back and forth between its questions. */
export interface Filled {
  readonly key: string;
  readonly at: number;
  readonly answers: Answers;
  readonly field: TextField;
  readonly selected: number;
  readonly fault?: Fault;
  /** A value that a calculator gave. It counts as calculated as long as the answer is this very text. */
  readonly calculated?: { readonly value: string; readonly by: CalculatedBy };
}

/** A form in which nothing is typed and nothing chosen, so that enter alone never answers a question. */
export const emptyFilled = (key: string): Filled => ({ key, at: 0, answers: {}, field: emptyField, selected: -1 });

/** What is typed for these questions. `filled` may belong to other questions; then nothing is typed yet. */
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
