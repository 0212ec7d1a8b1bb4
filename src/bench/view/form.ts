import type { JobState } from '../../job/state.ts';
import { typedText, typedWhole } from '../../job/parse.ts';
import { readingOf, stepOf } from '../../procedure/plan.ts';
import type { Row } from '../drawing/rows.ts';
import type { BenchFacts } from '../ports.ts';
import type { Part } from '../session/ask.ts';
import { questionAt, type Filled, type Form } from '../session/form.ts';
import type { Step } from '../../procedure/model.ts';
import { cureWork } from './cure.ts';
import { placed, type Placed } from './job.ts';
import { mixSaid, mixWork } from './mix.ts';
import type { Canvas } from './page.ts';
import { answersRow, questionRows } from './question.ts';
import { readingSaid, readingWork } from './reading.ts';
import { tightenSaid, tightenWork } from './tighten.ts';

/** What a form is about where it does not stand in its own step: another try, from a door or the menu. */
const partOf = (job: JobState, form: Form): { readonly step: Step; readonly part: Part } | undefined => {
  if (form.verb === 'read') {
    const found = readingOf(job.plan, typedText(form.fixed, 'reading') ?? '');
    const position = typedText(form.fixed, 'position');
    const slot = { n: typedWhole(form.fixed, 'n') ?? 1, ...(position === undefined ? {} : { position }) };
    return found && { step: found.step, part: { part: 'reading', reading: found.reading, slot } };
  }
  const step = stepOf(job.plan, typedText(form.fixed, 'step') ?? '');
  if (form.verb === 'tighten' && step)
    return { step, part: { part: 'tighten', fastener: typedWhole(form.fixed, 'fastener') ?? 1 } };
  return undefined;
};

/** Where a form is filled in: with a gauge, a map, targets or a curve, where its part has one. */
export const formWork = (
  here: Placed,
  step: Step,
  part: Part,
  form: Form,
  filled: Filled,
  canvas: Canvas,
): readonly Row[] => {
  if (part.part === 'reading') return readingWork(here, form, filled, part.reading, part.slot, canvas);
  if (part.part === 'tighten') return tightenWork(here, step, form, filled, part.fastener, canvas);
  if (part.part === 'mix' && step.mix) return mixWork(here, step.mix, form, filled, canvas);
  const cure = part.part === 'cure' && filled.at === 0 ? cureWork(here, step, canvas) : [];
  return [...cure, ...plainWork(form, filled, canvas)];
};

/** A question with nothing to draw. */
export const plainWork = (form: Form, filled: Filled, canvas: Canvas): readonly Row[] => {
  const question = questionAt(form, filled);
  return [
    ...answersRow(form.questions, filled, canvas.width),
    ...(question ? questionRows(question, filled, canvas) : []),
  ];
};

/** What would be said of what is being typed. */
export const formSaid = (
  here: Placed,
  step: Step,
  part: Part,
  form: Form,
  filled: Filled,
  canvas: Canvas,
): readonly Row[] => {
  if (part.part === 'reading' && questionAt(form, filled)?.name === 'value')
    return readingSaid(here, filled, part.reading, canvas);
  if (part.part === 'tighten') return tightenSaid(here, step, form, filled, canvas);
  return part.part === 'mix' && step.mix ? mixSaid(step.mix, form, filled, canvas) : [];
};

export const placedForm = (
  facts: BenchFacts,
  job: JobState | undefined,
  form: Form,
): { readonly here: Placed; readonly step: Step; readonly part: Part } | undefined => {
  const about = job && partOf(job, form);
  return job && about && { here: placed(facts, job), ...about };
};
