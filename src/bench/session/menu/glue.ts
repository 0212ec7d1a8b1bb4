import { mayMixFurther } from '../../../job/refusals/mixing.ts';
import { goodBatches } from '../../../job/potlife.ts';
import { wasUsed } from '../../../job/joints.ts';
import type { Batch, JobState } from '../../../job/state.ts';
import { currentStep } from '../../../job/where.ts';
import type { Step } from '../../../procedure/model.ts';
import { mixForm } from '../../parts/mix.ts';
import { doneItem } from './done.ts';
import { finishedItem } from './late.ts';
import { because, formItem, formOf, item, type MenuItem } from './item.ts';
import { departItem } from './work.ts';

export const discardItem = (job: JobState, batch: Batch): MenuItem =>
  item(
    `discard batch ${batch.batch}`,
    formOf('discard', job.id, {
      title: `Discard ${batch.batch}`,
      about: wasUsed(job, batch) ? ['It was used: what was made with it is open again.'] : [],
      fixed: { batch: batch.batch },
      questions: [because],
    }),
  );

/** After the end of a pot life: discard the glue, or record a departure. Nothing else. */
export const overItems = (job: JobState, step: Step): readonly MenuItem[] => [
  ...goodBatches(job, step.inPotLifeOf).map((batch) => ({
    ...discardItem(job, batch),
    aside: 'and mix again',
  })),
  ...(job.plan.strict
    ? []
    : [
        {
          ...departItem(job, 'pot-life-over', 'It overrules the pot life for this step, and stays in the record.'),
          aside: 'used all the same',
        },
      ]),
  { ...finishedItem(job, step), label: 'it was finished in time', aside: 'say when' },
  doneItem(job, { verb: 'finish', data: { step: step.step } }, 'The pot life was over before the step was finished.'),
];

/** One more cup, with its own number and its own sample: for the open mix, or for one whose glue is still needed wet. */
export const anotherCupItems = (job: JobState): readonly MenuItem[] => {
  const open = currentStep(job);
  return job.plan.steps.flatMap((step) => {
    const isOpen = step === open && goodBatches(job, [step.step]).length > 0;
    return step.mix && (isOpen || mayMixFurther(job, step))
      ? [formItem('mix another cup', mixForm(job, step, step.mix))]
      : [];
  });
};

/** A cup that was mixed and may not be used is still recorded, as discarded. */
export const thrownCupItems = (job: JobState): readonly MenuItem[] => {
  const step = currentStep(job);
  if (!step?.mix) return [];
  const form = mixForm(job, step, { ...step.mix, sample: false });
  const thrown = { ...form, fixed: { ...form.fixed, discarded: true } };
  return [formItem('write the cup down as discarded', thrown, 'it was mixed all the same')];
};
