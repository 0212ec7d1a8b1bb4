import { paragraphRows, type Row } from '../drawing/rows.ts';
import { isEmpty } from '../drawing/field.ts';
import type { BenchFacts } from '../ports.ts';
import type { Prompt } from '../session/ask.ts';
import { isChoice, questionAt, type Filled, type Form } from '../session/form.ts';
import type { Page, Session } from '../session/state.ts';
import { filledFor } from '../session/walk.ts';
import { cureText } from './cure.ts';
import { formSaid, formWork } from './form.ts';
import type { Placed } from './job.ts';
import { hint, menuHint, notYetHint, title, type Canvas, type Hint, type Middle } from './page.ts';
import { stepText, stepWarnings } from './step.ts';
import { faultRows, toldRows } from './told.ts';

type WalkPage = Extract<Page, { page: 'walk' }>;

const formHints = (form: Form, filled: Filled): readonly Hint[] => {
  const question = questionAt(form, filled);
  if (question && isChoice(question)) return [hint('enter', 'take it'), hint('1 to 9', 'choose'), menuHint, notYetHint];
  const typed = !isEmpty(filled.field);
  if (question?.kind === 'lines')
    return [hint('enter', typed ? 'add it' : 'no more'), hint('esc', typed ? 'clear' : 'back')];
  if (typed) return [hint('enter', 'take it'), hint('esc', 'clear')];
  return [
    question?.required === false ? hint('enter', 'leave it out') : hint('enter', 'take it'),
    menuHint,
    notYetHint,
  ];
};

/** A verdict while something is typed, the fault of what was typed, or what was taken last. */
const saidOf = (
  session: Session,
  facts: BenchFacts,
  filled: Filled | undefined,
  live: readonly Row[],
  canvas: Canvas,
): readonly Row[] => {
  if (filled?.fault) return faultRows(filled.fault, canvas.marks, canvas.width, facts.now);
  return live.length > 0 ? live : toldRows(session.told, canvas.marks, canvas.width, facts.now);
};

const questionText = (here: Placed, ask: Extract<Prompt, { kind: 'question' }>, canvas: Canvas): readonly Row[] => {
  const own = ['reading', 'tighten', 'mix', 'cure', 'helpers'].includes(ask.part.part);
  const about = ask.form.about.flatMap((text) => paragraphRows(text, canvas.width));
  if (!own) return [...title(ask.form.title, canvas.width), ...stepWarnings(ask.step, canvas), ...about];
  return [...stepText(ask.step, canvas), ...about, ...(ask.part.part === 'cure' ? cureText(here, ask.step) : [])];
};

/** Something is to be entered: a value, a cup, a fastener, a temperature, a name. */
export const middleOfQuestion = (
  here: Placed,
  session: Session,
  ask: Extract<Prompt, { kind: 'question' }>,
  canvas: Canvas,
  page: WalkPage,
): Middle => {
  const filled = filledFor(ask.form, page.filled);
  return {
    text: questionText(here, ask, canvas),
    work: formWork(here, ask.step, ask.part, ask.form, filled, canvas),
    said: saidOf(session, here.facts, filled, formSaid(here, ask.step, ask.part, ask.form, filled, canvas), canvas),
    hints: formHints(ask.form, filled),
  };
};
