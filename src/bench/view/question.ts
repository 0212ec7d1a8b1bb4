import type { Quantity } from '../../quantity/quantity.ts';
import type { FixedLimits } from '../../quantity/limits.ts';
import { spaced } from '../drawing/digits.ts';
import { fieldText, isEmpty } from '../drawing/field.ts';
import { gauge } from '../drawing/gauge.ts';
import { listRows } from '../drawing/list.ts';
import { graphemes, widthOf } from '../../report/width.ts';
import { fit, mark, paragraphRows, row, span, tail, type Row } from '../drawing/rows.ts';
import { choicesOf, isChoice, questionAt, type Filled, type Question, type Questions } from '../session/form.ts';
import { backHint, digits, hint, type Canvas, type Hint } from './page.ts';
import { own } from '../../fault/own.ts';

const lead = '     ';

/** What is typed, as large as a row allows, with the cursor in it. The end of a long text stays in view. */
const fieldRow = (question: Question, filled: Filled, { width, marks }: Canvas): Row => {
  const { before, after } = filled.field;
  const secret = question.kind === 'secret';
  const large = question.kind === 'quantity' || question.kind === 'whole' || question.kind === 'day';
  const shape = (text: string): string =>
    secret ? marks.secret.repeat(graphemes(text).length) : large ? spaced(text) : text;
  const join = large && before !== '' && after !== '' ? ' ' : '';
  const unit = question.unit !== undefined && !/[\p{L}°%'"]/u.test(fieldText(filled.field)) ? `  ${question.unit}` : '';
  const proposal = before + after === '' && question.proposal !== undefined ? question.proposal : '';
  const room = Math.max(4, width - lead.length - widthOf(unit) - 1);
  const right = tail(shape(after), Math.floor(room / 2));
  const left = tail(shape(before), room - widthOf(right));
  return fit(
    [
      mark(lead),
      span(left, 'strong'),
      mark(marks.cursor, 'order'),
      span(join + right, 'strong'),
      span(proposal, 'quiet'),
      span(unit, 'quiet'),
    ],
    width,
  );
};

/** Rows for the choices of a question; the selected one stays in view. */
const choiceRows = 5;

/** What is asked, and where it is answered. */
export const questionRows = (question: Question, filled: Filled, canvas: Canvas): readonly Row[] => {
  const ask = paragraphRows(question.ask, canvas.width, 'strong').slice(0, 2);
  if (isChoice(question)) {
    const items = choicesOf(question).map(({ label, aside }) => ({
      row: row(label),
      ...(aside === undefined ? {} : { aside }),
    }));
    return [...ask, ...listRows(items, filled.selected, canvas.marks, canvas.width, choiceRows)];
  }
  const lines = own(filled.answers, question.name);
  const before = question.kind === 'lines' && Array.isArray(lines) ? (lines as readonly string[]) : [];
  return [
    ...ask,
    ...before
      .slice(-3)
      .map((line, index) =>
        fit([mark(`  ${Math.max(0, before.length - 3) + index + 1} `, 'quiet'), span(line)], canvas.width),
      ),
    fieldRow(question, filled, canvas),
  ];
};

/** The limits of a value as a gauge beneath it, with the value in it once there is one. */
export const gaugeRow = (
  limits: FixedLimits,
  value: Quantity | undefined,
  within: boolean | undefined,
  { marks, width }: Canvas,
): Row => {
  // The gauge begins a little left of the digits, so that its mark is under what is typed.
  const start = Math.max(0, lead.length - 2);
  return [mark(' '.repeat(start)), ...gauge(limits, value, within, marks, width - start)];
};

/** The answers given so far in the same form, in small. */
export const answersRow = (questions: readonly Question[], filled: Filled, width: number): readonly Row[] => {
  const given = questions.slice(0, filled.at).flatMap((question) => {
    const answer = own(filled.answers, question.name);
    if (typeof answer !== 'string' || question.kind === 'secret') return [];
    const label = choicesOf(question).find(({ value }) => value === answer)?.label ?? answer;
    return [`${question.name.split('.').at(-1) ?? ''} ${label}`];
  });
  return given.length === 0 ? [] : paragraphRows(given.join(', '), width, 'quiet').slice(0, 2);
};

/** What the keys do while a question is open. */
export const questionHints = (question: Question | undefined, filled: Filled): readonly Hint[] => {
  if (question && isChoice(question))
    return [hint('enter', 'save'), hint(digits(choicesOf(question).length), 'choose'), backHint];
  const typed = !isEmpty(filled.field);
  if (question?.kind === 'lines') return [hint('enter', typed ? 'add' : 'no more'), backHint];
  const skips = !typed && question?.required === false ? (question.skips ?? 'skip') : 'save';
  return [hint('enter', skips), backHint];
};

/** A question with nothing drawn around it. */
export const plainWork = (form: Questions, filled: Filled, canvas: Canvas): readonly Row[] => {
  const question = questionAt(form, filled);
  return [
    ...answersRow(form.questions, filled, canvas.width),
    ...(question ? questionRows(question, filled, canvas) : []),
  ];
};
