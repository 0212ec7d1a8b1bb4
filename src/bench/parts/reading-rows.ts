import type { Reading } from '../../procedure/model.ts';
import { limitRefs } from '../../quantity/limits.ts';
import { limitsInLabels, readingLimits } from '../../job/limits-shown.ts';
import { currentTries, ownLimits, quantityOf, type Slot } from '../../job/values.ts';
import { toCopy } from '../../job/to-copy.ts';
import { calculatedWords } from '../../job/calculated.ts';
import { ownVerdict } from '../../job/parts/reading.ts';
import { roomForDigits, valueRows } from '../drawing/digits.ts';
import { fieldText } from '../drawing/field.ts';
import { mark, paragraphRows, span, type Row } from '../drawing/rows.ts';
import { questionAt, type Filled } from '../session/form.ts';
import { calculatedIn } from '../session/form-data.ts';
import type { JobNow } from '../job-now.ts';
import type { Canvas } from '../view/page.ts';
import { answersRow, gaugeRow, questionRows } from '../view/question.ts';
import { verdictRow } from '../view/answer.ts';
import type { OpenForm } from './part.ts';
import { twinOf } from './twin-rows.ts';

/** The tries before this one. They are never hidden, whether struck or not. */
const triesRow = ({ job }: JobNow, reading: Reading, slot: Slot): readonly Row[] => {
  const tries = currentTries(job, reading.reading, slot);
  return tries.length === 0 ? [] : [[span(`tries here: ${tries.map((taken) => taken.value).join(', ')}`, 'quiet')]];
};

/** Where limits come from other values: how, in their labels. The gauge has the numbers. */
const formulaRow = ({ job }: JobNow, reading: Reading, width: number): readonly Row[] => {
  const limits = ownLimits(reading);
  return limits && limitRefs(limits).length > 0
    ? paragraphRows(`limits: ${limitsInLabels(job.plan, limits)}`, width, 'quiet').slice(0, 2)
    : [];
};

/** A value that the step asks to write elsewhere: it is shown, rounded as it is to be written. */
const copyRows = ({ job }: JobNow, reading: Reading, canvas: Canvas): readonly Row[] => {
  const copied = toCopy(job, reading);
  return copied
    ? [
        [mark('to write: ', 'quiet'), span(copied.label)],
        ...valueRows(copied.text, [], canvas.marks, canvas.width, canvas.rows >= roomForDigits),
      ]
    : [];
};

/** The value being typed, its gauge, and what was tried before. Blind limits show nothing until the value is in. */
export const readingWork = ({ here, subject, form, filled }: OpenForm<'reading'>, canvas: Canvas): readonly Row[] => {
  const { reading, slot } = subject;
  const question = questionAt(form, filled);
  if (!question) return [];
  const asked = questionRows(question, filled, canvas);
  if (question.name !== 'value') return [...answersRow(form.questions, filled, canvas.width), ...asked];
  const fixed = readingLimits(here.job, reading, here.around);
  const typed = fieldText(filled.field);
  const value = quantityOf(reading, typed);
  const shown = fixed !== undefined && !reading.blind;
  const verdict = typed === '' || guarded(reading) ? undefined : wouldBe(here, reading, filled);
  return [
    ...copyRows(here, reading, canvas),
    ...asked,
    ...calculatedRow(filled, canvas),
    ...(shown ? [gaugeRow(fixed, value, verdict === undefined ? undefined : verdict === 'within', canvas)] : []),
    ...(shown ? formulaRow(here, reading, canvas.width) : []),
    ...(reading.kind === 'quantity' ? twinOf(here, reading, slot, canvas, value) : []),
    ...triesRow(here, reading, slot),
  ];
};

/** The verdict on what is in the field, typed or calculated. */
const wouldBe = ({ job }: JobNow, reading: Reading, filled: Filled): ReturnType<typeof ownVerdict> => {
  const value = fieldText(filled.field);
  const calculated = calculatedIn(filled, value);
  return ownVerdict(job, reading, { value, ...(calculated ? { calculated } : {}) });
};

/** How the value was calculated, as long as nobody has typed over it. */
const calculatedRow = (filled: Filled, { width }: Canvas): readonly Row[] => {
  const by = calculatedIn(filled, fieldText(filled.field));
  return by ? paragraphRows(`calculated by ${calculatedWords(by)}`, width, 'quiet').slice(0, 2) : [];
};

const guarded = (reading: Reading): boolean => reading.kind === 'quantity' && reading.guarded;

/** The verdict that the value would get, while it is typed. What counts is the verdict that the engine gives once it is saved. */
export const readingSaid = (
  { here, subject: { reading }, form, filled }: OpenForm<'reading'>,
  canvas: Canvas,
): readonly Row[] => {
  if (questionAt(form, filled)?.name !== 'value') return [];
  const typed = fieldText(filled.field);
  if (typed === '' || reading.blind || reading.kind === 'text' || reading.kind === 'choice') return [];
  if (guarded(reading)) return [[mark("decided with the tool's uncertainty, once it is taken", 'quiet')]];
  const value = quantityOf(reading, typed);
  if (!value) return [];
  const verdict = wouldBe(here, reading, filled);
  return verdict === undefined ? [] : [verdictRow(verdict, canvas.marks)];
};
