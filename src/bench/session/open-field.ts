import { findCalculation } from '../../trade/calculations.ts';
import { isEmpty, type TextField } from '../drawing/field.ts';
import { jobById, jobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { questionsOf } from './calculator-inputs.ts';
import { targetOf } from './calculator-target.ts';
import { firstQuestions } from './first.ts';
import { filledFor, isChoice, questionAt, type Filled, type Question, type Questions } from './form.ts';
import { promptNow } from './prompt-now.ts';
import { topPage, type Session } from './state.ts';

/** The field that typed characters go into. */
interface OpenField {
  readonly kind: Exclude<Question['kind'], 'choice' | 'yes'>;
  readonly field: TextField;
}

const fieldIn = (form: Questions, filled: Filled): OpenField | undefined => {
  const question = questionAt(form, filled);
  if (!question || isChoice(question)) return undefined;
  return { kind: question.kind as OpenField['kind'], field: filled.field };
};

/** Where typed characters go now; undefined where no field is open, and keys act. */
export const openField = (session: Session, facts: BenchFacts): OpenField | undefined => {
  const page = topPage(session);
  if (page?.page === 'passphrase') return { kind: 'secret', field: page.field };
  if (page?.page === 'first') return fieldIn(firstQuestions(page), page.filled);
  if (page?.page === 'form') return fieldIn(page.form, page.filled);
  if (page?.page === 'calculator' && !page.inputs) {
    const found = findCalculation(page.calculation);
    const asked = targetOf(session, facts)?.unit;
    return found.ok ? fieldIn(questionsOf(found.value, asked, page.filled.answers), page.filled) : undefined;
  }
  if (page?.page !== 'walk') return undefined;
  const job = jobById(facts, page.job);
  const prompt = job && promptNow(jobNow(facts, job));
  return prompt?.kind === 'question'
    ? fieldIn(prompt.form, filledFor(prompt.form, page.filled, session.drafts))
    : undefined;
};

/** Whether a character is text for the field now. A space, or a question mark, in an empty field is a key instead. */
export const takesText = (session: Session, facts: BenchFacts, text: string): boolean => {
  const open = openField(session, facts);
  return open !== undefined && !(isEmpty(open.field) && open.kind !== 'secret' && (text === ' ' || text === '?'));
};

/** Whether the enter that a scanner or a paste sends with its text counts here: it saves ids and texts, and nothing else. */
export const takesOwnEnter = (session: Session, facts: BenchFacts): boolean => {
  const kind = openField(session, facts)?.kind;
  return kind === 'text' || kind === 'names' || kind === 'lines';
};
