import { paragraphRows, type Row } from '../drawing/rows.ts';
import { isEmpty } from '../drawing/field.ts';
import type { BenchFacts } from '../ports.ts';
import type { PromptOf } from '../session/prompt.ts';
import { uncountedStart } from '../session/uncounted-words.ts';
import { filledFor, isChoice, questionAt, type Filled, type Form } from '../session/form.ts';
import type { Page, Session } from '../session/state.ts';
import { formSaid, formWork, partText } from '../parts/parts.ts';
import type { JobNow } from '../job-now.ts';
import { menuHint, title, type Canvas, type Hint, type PageContent } from './page.ts';
import { plainWork, questionHints } from './question.ts';
import { stepText, stepWarnings } from './step.ts';
import { faultRows, answerRows } from './answer.ts';

type WalkPage = Extract<Page, { page: 'walk' }>;

const formHints = (form: Form, filled: Filled): readonly Hint[] => {
  const question = questionAt(form, filled);
  const hints = questionHints(question, filled);
  const isMenu = question === undefined || isChoice(question) || isEmpty(filled.field);
  return isMenu ? [...hints.slice(0, -1), menuHint, ...hints.slice(-1)] : hints;
};

/** What is wrong with what was typed, else the verdict on it while it is typed, else the answer to the last act. */
const saidOf = (
  session: Session,
  facts: BenchFacts,
  filled: Filled | undefined,
  live: readonly Row[],
  canvas: Canvas,
): readonly Row[] => {
  if (filled?.fault) return faultRows(filled.fault, canvas.marks, canvas.width, facts.now);
  return live.length > 0 ? live : answerRows(session.answer, canvas.marks, canvas.width, facts.now);
};

/** A cure says itself what did not count; its answer need not repeat it. */
const withoutUncounted = (session: Session): Session =>
  session.answer
    ? {
        ...session,
        answer: { ...session.answer, lines: session.answer.lines.filter((line) => !line.startsWith(uncountedStart)) },
      }
    : session;

const questionText = (here: JobNow, { step, form, beneath }: PromptOf<'question'>, canvas: Canvas): readonly Row[] => {
  const about = form.about.flatMap((text) => paragraphRows(text, canvas.width));
  return beneath === 'title'
    ? [...title(form.title, canvas.width), ...stepWarnings(step, canvas), ...about]
    : [...stepText(here.job, step, canvas), ...about, ...partText(here, step, form.subject)];
};

/** Something is to be entered: a value, a cup, a fastener, a temperature, a name. */
export const contentOfQuestion = (
  here: JobNow,
  session: Session,
  prompt: PromptOf<'question'>,
  canvas: Canvas,
  page: WalkPage,
): PageContent => {
  const { form } = prompt;
  const filled = filledFor(form, page.filled, session.drafts);
  const open = form.subject && { here, subject: form.subject, form, filled };
  return {
    text: questionText(here, prompt, canvas),
    work: open ? formWork(open, canvas) : plainWork(form, filled, canvas),
    said: saidOf(
      open?.subject.part === 'cure' ? withoutUncounted(session) : session,
      here.facts,
      filled,
      open ? formSaid(open, canvas) : [],
      canvas,
    ),
    hints: formHints(form, filled),
  };
};
