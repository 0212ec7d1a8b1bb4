import type { Datum } from '../../job/entry.ts';
import { isLookVerb } from '../../job/verbs.ts';
import { isEmpty } from '../drawing/field.ts';
import { mark, paragraphRows, type Row } from '../drawing/rows.ts';
import type { OpenForm } from '../parts/part.ts';
import type { BenchFacts } from '../ports.ts';
import { targetOf } from '../session/calculator-target.ts';
import { firstQuestions } from '../session/first.ts';
import { questionAt, type Filled, type Question } from '../session/form.ts';
import type { Pages, Session } from '../session/state.ts';
import type { FormSubject } from '../session/form-subject.ts';
import { formSaid, formWork } from '../parts/parts.ts';
import { jobById, jobNow } from '../job-now.ts';
import { personName } from './job.ts';
import { backHint, hint, marked, title, type Canvas, type PageContent } from './page.ts';
import { answersRow, plainWork, questionHints, questionRows } from './question.ts';
import { faultRows, answerRows } from './answer.ts';

/** While the second person answers a hold, the corner of the screen shows the hold instead of the builder's name. */
const lookRight = (facts: BenchFacts, verb: string, job: string, id: Datum | undefined): Pick<PageContent, 'right'> => {
  if (!isLookVerb(verb)) return {};
  const step = jobById(facts, job)?.plan.steps.find((one) => one.step === id);
  return { right: [mark(step?.hold?.kind === 'witness' ? 'witness point' : 'HOLD POINT', 'person')] };
};

const saidIn = (filled: Filled, session: Session, facts: BenchFacts, { marks, width }: Canvas): readonly Row[] =>
  filled.fault
    ? faultRows(filled.fault, marks, width, facts.now)
    : answerRows(session.answer?.kind === 'not' ? session.answer : undefined, marks, width, facts.now);

export const firstView = (session: Session, page: Pages['first'], facts: BenchFacts, canvas: Canvas): PageContent => {
  const form = firstQuestions(page);
  const question = questionAt(form, page.filled);
  return {
    left: [mark('dryfit', 'strong')],
    text: [
      ...title('Who are you?', canvas.width),
      ...paragraphRows(
        'Everything you enter is signed with a key of yours. It is made now, and kept on this machine, not in the state folder.',
        canvas.width,
      ),
    ],
    work: [
      ...answersRow(form.questions, page.filled, canvas.width),
      ...(question ? questionRows(question, page.filled, canvas) : []),
    ],
    said: saidIn(page.filled, session, facts, canvas),
    hints: questionHints(question, page.filled),
  };
};

/** The part of a step that a form enters, where it has one: another try, from a door or the menu. */
const openForm = (facts: BenchFacts, { form, filled }: Pages['form']): OpenForm<FormSubject['part']> | undefined => {
  const job = jobById(facts, form.job);
  return job && form.subject && { here: jobNow(facts, job), subject: form.subject, form, filled };
};

export const formView = (session: Session, page: Pages['form'], facts: BenchFacts, canvas: Canvas): PageContent => {
  const question = questionAt(page.form, page.filled);
  const open = openForm(facts, page);
  const live = open ? formSaid(open, canvas) : [];
  return {
    text: [
      ...(page.form.title === question?.ask ? [] : title(page.form.title, canvas.width)),
      ...page.form.about.flatMap((text) => paragraphRows(text, canvas.width)),
    ],
    work: open ? formWork(open, canvas) : plainWork(page.form, page.filled, canvas),
    ...lookRight(facts, page.form.verb, page.form.job, page.form.fixed['step']),
    said: page.filled.fault || live.length === 0 ? saidIn(page.filled, session, facts, canvas) : live,
    hints: [
      ...questionHints(question, page.filled),
      ...(isEmpty(page.filled.field) && targetOf(session, facts) ? [hint('space', 'calculate')] : []),
    ],
  };
};

export const passphraseView = (
  session: Session,
  page: Pages['passphrase'],
  facts: BenchFacts,
  canvas: Canvas,
): PageContent => {
  const question: Question = {
    name: 'passphrase',
    ask: `${personName(facts, page.person)}: your passphrase`,
    kind: 'secret',
    required: true,
  };
  return {
    text: [
      ...title('Your own key signs this', canvas.width),
      ...paragraphRows(
        page.person === session.by
          ? 'It is kept until you leave, and nowhere else.'
          : 'It is used for this one act and then forgotten.',
        canvas.width,
      ),
    ],
    work: questionRows(question, { key: '', at: 0, answers: {}, field: page.field, selected: 0 }, canvas),
    ...lookRight(facts, page.act.verb, page.act.job, page.act.data['step']),
    said: page.wrong
      ? marked(canvas.marks.attention, 'the passphrase is not right; nothing was entered', canvas.width, 'person')
      : [],
    hints: [hint('enter', 'sign'), backHint],
  };
};
