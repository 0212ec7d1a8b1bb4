import type { Step, Tighten } from '../../procedure/model.ts';
import { fastenerMissing } from '../../job/parts/tighten.ts';
import { resolutionOf } from '../../job/limits-shown.ts';
import { limitsNow } from '../../job/values.ts';
import { fastenerNow, verdictOfFastener } from '../../job/parts/tighten.ts';
import { wrenchLimits } from '../../job/parts/wrench.ts';
import { decide } from '../../quantity/decision.ts';
import type { FixedLimits } from '../../quantity/limits.ts';
import { parseQuantity } from '../../quantity/quantity.ts';
import { shownLimits } from '../../quantity/shown-limits.ts';
import { fieldText } from '../drawing/field.ts';
import { tighteningMap, type Fastened } from '../drawing/map.ts';
import type { Row } from '../drawing/rows.ts';
import { questionAt, type Filled, type Question } from '../session/form.ts';
import type { JobNow } from '../job-now.ts';
import type { Canvas } from '../view/page.ts';
import { gaugeRow, questionRows } from '../view/question.ts';
import { verdictRow } from '../view/answer.ts';
import type { OpenForm } from './part.ts';

const stateOf = ({ job }: JobNow, step: Step, tighten: Tighten, fastener: number): Fastened => {
  const act = fastenerNow(job, step.step, fastener);
  if (act && verdictOfFastener(job, tighten, act) === 'outside') return 'outside';
  const missing = fastenerMissing(job, step, fastener);
  if (missing.length === 0) return 'done';
  return missing.length === 1 && missing[0] === 'mark' ? 'unmarked' : 'todo';
};

/** The order as a map; nothing for a single fastener. */
export const mapRows = (
  here: JobNow,
  step: Step,
  next: number | undefined,
  { marks, width }: Canvas,
): readonly Row[] => {
  const tighten = step.tighten;
  return tighten && tighten.fasteners > 1
    ? tighteningMap(tighten.order, (fastener) => stateOf(here, step, tighten, fastener), next, marks, width)
    : [];
};

/** The limits of one answer: for a torque, what the wrench must show with the drag that was entered. */
const limitsOf = ({ job }: JobNow, tighten: Tighten, question: Question, filled: Filled): FixedLimits | undefined => {
  const drag = filled.answers['drag'];
  if (question.name === 'torque') return wrenchLimits(job, tighten, typeof drag === 'string' ? { drag } : {});
  const own =
    question.name === 'past' ? tighten.past : question.name === 'finger-tight' ? tighten.fingerTight : undefined;
  return own && limitsNow(job, own);
};

interface Live {
  readonly limits: FixedLimits | undefined;
  readonly verdict: 'within' | 'outside' | undefined;
  readonly value: ReturnType<typeof parseQuantity>;
}

const live = (here: JobNow, tighten: Tighten, question: Question, filled: Filled): Live => {
  const limits = limitsOf(here, tighten, question, filled);
  const unit = (limits?.low ?? limits?.high)?.at.unit;
  const value = parseQuantity(fieldText(filled.field), unit ? { unit } : {});
  const fits = value.ok && unit !== undefined && value.value.unit.dimension === unit.dimension;
  return { limits, value, verdict: fits && limits ? decide(value.value, limits) : undefined };
};

export const tightenWork = ({ here, subject, form, filled }: OpenForm<'tighten'>, canvas: Canvas): readonly Row[] => {
  const { step, tighten, fastener } = subject;
  const question = questionAt(form, filled);
  if (!question) return [];
  const { limits, value, verdict } = live(here, tighten, question, filled);
  const named = tighten.fasteners > 1 ? { ...question, ask: `${fastener}: ${question.ask}` } : question;
  return [
    ...mapRows(here, step, fastener, canvas),
    ...questionRows(named, filled, canvas),
    ...(limits
      ? [
          gaugeRow(
            shownLimits(limits, resolutionOf(here.job, here.around, tighten.tool)),
            value.ok && verdict !== undefined ? value.value : undefined,
            verdict && verdict === 'within',
            canvas,
          ),
        ]
      : []),
  ];
};

/** The verdict that the value would get, while it is typed. */
export const tightenSaid = ({ here, subject, form, filled }: OpenForm<'tighten'>, canvas: Canvas): readonly Row[] => {
  const question = questionAt(form, filled);
  if (!question) return [];
  const { verdict } = live(here, subject.tighten, question, filled);
  return verdict === undefined ? [] : [verdictRow(verdict, canvas.marks)];
};
