import type { Step } from '../../procedure/model.ts';
import { stepOf } from '../../procedure/plan.ts';
import { refusedIn } from '../breach.ts';
import { finishStep, perform, stampOf, touch } from '../draft.ts';
import type { DerivedOf } from '../entry.ts';
import { sheetFor } from '../gate.ts';
import { exceptionWords } from '../gate-sheet.ts';
import { finishRefusals } from '../refusals/finishing.ts';
import { nothingOpen, takeUnless, stepNamed, type Act, type AskedJob, type Foreseen, type Intended } from './act.ts';
import { correctsFinish } from './correct-names.ts';

/** The step that passes a gate carries the gate sheet as it is at that instant. */
const passing = (
  { job, moment }: AskedJob,
  step: Step,
): { readonly data?: DerivedOf<'finish'>; readonly told?: readonly string[] } => {
  if (step.gate === undefined) return {};
  const sheet = sheetFor(job, step, step.gate, moment.around);
  const told = sheet.excepted.map((item) => `passed with an exception: ${exceptionWords(item)}`);
  return { data: { 'gate-sheet': sheet }, told };
};

const foresee = ({ job, moment, data }: Intended<'finish'>): Foreseen => {
  const step = stepOf(job.plan, data.step ?? '');
  return { step, refusals: step ? finishRefusals(job, step, moment) : [] };
};

export const finishAct: Act<'finish'> = {
  decide: (ask) => {
    const step = stepNamed(ask, ask.data.step);
    if (!step.ok) return step;
    return takeUnless(ask, step.value, foresee({ ...ask, open: nothingOpen }).refusals, passing(ask, step.value));
  },
  foresee,
  evolve: (draft, entry, job) => {
    const id = entry.data.step;
    perform(draft, id, entry, entry.data.with);
    const { 'gate-sheet': sheet, reason } = entry.data;
    const finished = {
      ...stampOf(entry),
      ...(sheet === undefined ? {} : { sheet }),
      ...(reason === undefined ? {} : { reason }),
    };
    if (refusedIn(entry).length === 0) finishStep(draft, job.plan, id, entry, finished);
    touch(draft, id, entry);
  },
  words: (data) => `${data.step} finished`,
  correct: correctsFinish,
};
