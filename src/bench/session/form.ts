import type { Fault } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { Data } from '../../job/entry.ts';
import type { CalculatedBy } from '../../job/verb-spec.ts';
import type { Act } from '../ports.ts';
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
  /** What enter does while nothing is typed, where the answer may be left out: `no passphrase`. */
  readonly skips?: string;
  /** Saved where nothing is typed, and shown before. Only for book-keeping, such as a person's id, never for a value of the work. */
  readonly proposal?: string;
  /** The one answer that is taken: it is typed to show that what is asked was read, and is not part of the entry. */
  readonly only?: string;
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
  readonly verb: Act['verb'];
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
  /** What was typed for other questions and not saved yet, by their names. */
  readonly typed?: Readonly<Record<string, string>>;
  readonly selected: number;
  readonly fault?: Fault;
  /** A value that a calculator gave. It counts as calculated as long as the answer is this very text. */
  readonly calculated?: { readonly value: string; readonly by: CalculatedBy };
}

/** A form in which nothing is typed and nothing chosen, so that enter alone never answers a question. */
export const emptyFilled = (key: string): Filled => ({ key, at: 0, answers: {}, field: emptyField, selected: -1 });

/** What was typed and not saved, by the key of its form. */
export type Drafts = Readonly<Record<string, Filled>>;

/** What is typed for these questions. `filled` may belong to other questions; then what was typed for these before counts, if anything. */
export const filledFor = ({ key }: Questions, filled: Filled | undefined, drafts: Drafts): Filled =>
  filled?.key === key ? filled : (own(drafts, key) ?? emptyFilled(key));

export const questionAt = (form: Questions, filled: Filled): Question | undefined => form.questions[filled.at];

export const choicesOf = (question: Question): readonly Choice[] =>
  question.kind === 'yes'
    ? [
        { value: 'no', label: 'no' },
        { value: 'yes', label: 'yes' },
      ]
    : (question.choices ?? []);

export const isChoice = (question: Question): boolean => question.kind === 'choice' || question.kind === 'yes';
