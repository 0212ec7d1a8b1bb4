import type { JobState } from '../../../job/state.ts';
import { stepStateOf } from '../../../job/step-state.ts';
import { currentStep } from '../../../job/where.ts';
import type { Step } from '../../../procedure/model.ts';
import { tightenForm } from '../../parts/tighten.ts';
import type { Act } from '../../ports.ts';
import type { Form, Question } from '../form.ts';
import { askText, askWhole, choice, formOf, item, type MenuItem } from './item.ts';

/** What becomes of work that a rule refuses and that is done already. */
const whatFollows = ({ plan }: JobState): string =>
  plan.strict
    ? 'It is kept as an open nonconformance and counts for nothing. The procedure is strict: it ends by rework or scrap alone.'
    : 'It is kept as an open nonconformance and counts for nothing until it is decided: rework, repair, use as is, or scrap.';

const why: Question = askText('done', 'Why it was done all the same');

/** The way to write down what a rule has just refused. */
export const doneItem = (job: JobState, { verb, data }: Pick<Act, 'verb' | 'data'>, refused: string): MenuItem =>
  item(
    'it is done already',
    formOf(verb, job.id, {
      title: 'Done already',
      about: [refused, whatFollows(job)],
      fixed: data,
      questions: [why],
    }),
    'write it down',
  );

/** The way to write down work that is refused before anything of it was asked. */
export const doneFormItem = (job: JobState, form: Form, refused: string): MenuItem =>
  item('it is done already', asDone({ ...form, about: [...form.about, refused] }, job), 'write it down');

const asDone = (form: Form, job: JobState, questions: readonly Question[] = form.questions): MenuItem['opens'] => ({
  kind: 'form',
  form: { ...form, key: `done ${form.key}`, about: [...form.about, whatFollows(job)], questions: [...questions, why] },
});

/** A fastener that was tightened out of its order. */
const fastenerItems = (job: JobState, step: Step | undefined): readonly MenuItem[] => {
  if (!step?.tighten || step.tighten.fasteners < 2) return [];
  const { subject: _subject, fixed: _fixed, ...form } = tightenForm(job, step, step.tighten, 1);
  const any: Form = { ...form, key: `any ${step.step}`, title: 'Tightened out of order', fixed: { step: step.step } };
  const questions = form.questions.filter(({ name }) => name !== 'reason');
  return [
    item(
      'a fastener was tightened out of order',
      asDone(any, job, [askWhole('fastener', 'Which fastener'), ...questions]),
    ),
  ];
};

/** Work that was done before its turn, and must be written down all the same. */
export const outOfOrderItems = (job: JobState): readonly MenuItem[] => {
  const step = currentStep(job);
  const later = job.plan.steps.filter((one) => one !== step && stepStateOf(job, one.step).state === 'todo');
  const isFinishable = ({ cure, wait, hold, gate }: Step): boolean => (cure ?? wait ?? hold ?? gate) === undefined;
  const steps = later.filter(isFinishable).map((one) => ({ value: one.step, label: one.title }));
  if (!step) return [];
  return [
    ...fastenerItems(job, step),
    ...(steps.length === 0
      ? []
      : [
          item(
            'a later step is done already',
            formOf('finish', job.id, {
              title: 'Done out of order',
              about: [whatFollows(job)],
              questions: [choice('step', 'Which step', steps), why],
            }),
          ),
        ]),
  ];
};
