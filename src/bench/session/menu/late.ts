import type { RefusalCode } from '../../../fault/codes.ts';
import type { JobState } from '../../../job/state.ts';
import type { Step } from '../../../procedure/model.ts';
import type { Form, Question } from '../form.ts';
import type { Prompt } from '../prompt.ts';
import { formOf, item, type MenuItem } from './item.ts';

/** When something happened that is entered later. The record shows both times. */
const whenQuestion: Question = {
  name: 'when',
  ask: 'When did it happen? (20:58, yesterday 20:58, 40 min ago)',
  kind: 'text',
  required: true,
};

const label = 'it happened earlier';
const aside = 'say when';

/** The same form, which also asks when it happened. */
export const lateItem = (form: Form): MenuItem =>
  item(
    label,
    { kind: 'form', form: { ...form, key: `late ${form.key}`, questions: [...form.questions, whenQuestion] } },
    aside,
  );

const lateStep = (job: JobState, verb: 'begin' | 'finish', step: Step, title: string): MenuItem =>
  item(label, formOf(verb, job.id, { title, fixed: { step: step.step }, questions: [whenQuestion] }), aside);

/** The end of a step that was reached while dryfit was not open, such as glue that was spread in its pot life. */
export const finishedItem = (job: JobState, step: Step): MenuItem =>
  lateStep(job, 'finish', step, `Finished earlier: ${step.title}`);

/** What the job wants now, entered with the time at which it happened. */
export const lateItems = (job: JobState, prompt: Prompt): readonly MenuItem[] => {
  if (prompt.kind === 'question' || prompt.kind === 'refused') return [lateItem(prompt.form)];
  if (prompt.kind === 'finish' || prompt.kind === 'over') return [finishedItem(job, prompt.step)];
  if (prompt.kind !== 'mark') return [];
  const fixed = { step: prompt.step.step, fastener: prompt.fastener, mark: true };
  return [item(label, formOf('tighten', job.id, { title: 'Marked earlier', fixed, questions: [whenQuestion] }), aside)];
};

/** Refusals that depend on when something was done. */
const timed: ReadonlySet<string> = new Set<RefusalCode>([
  'cure-not-reached',
  'wait',
  'too-late',
  'pot-life-over',
  'lot-expired',
  'tool-out-of-date',
  'shop-outside',
]);

/** The way on where an act is refused now and may have been done at another time. */
export const lateWays = (form: Form, codes: readonly string[]): readonly MenuItem[] =>
  codes.some((code) => timed.has(code)) ? [lateItem(form)] : [];
