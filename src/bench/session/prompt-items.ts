import { memoised } from '../../fault/memo.ts';
import { twinsApart } from '../../job/parts/twin.ts';
import type { Step } from '../../procedure/model.ts';
import type { JobNow } from '../job-now.ts';
import { readingAgainItems } from '../parts/reading.ts';
import { refusalShown } from './ahead.ts';
import { doors } from './doors.ts';
import { waysOutOf } from './menu.ts';
import { doneFormItem } from './menu/done.ts';
import { lateWays } from './menu/late.ts';
import { holdItems, witnessItems } from './hold-items.ts';
import { overItems } from './menu/glue.ts';
import { barredItems } from './menu/left.ts';
import { item, type MenuItem } from './menu/item.ts';
import { promptNow } from './prompt-now.ts';
import type { PromptOf } from './prompt.ts';

/** What helps against what refuses the next entry, and the way to write down what is done already. */
const refusedWays = ({ facts, job }: JobNow, { form, step, refusals }: PromptOf<'refused'>): readonly MenuItem[] => {
  const codes = refusals.map(({ code }) => code);
  const first = refusalShown(form, step, refusals);
  const done = first?.mayBeDone === true ? [doneFormItem(job, form, first.what)] : [];
  return [...waysOutOf(facts, job, codes), ...done, ...lateWays(form, codes)];
};

/** The way to each side of a reading whose sides differ too much: the value of this side anew, or the job of another one. */
const twinItems = ({ job, around }: JobNow, step: Step): readonly MenuItem[] => {
  const apart = twinsApart(job, step.step, around);
  const readings = step.readings.filter((one) => apart.some(({ reading }) => reading === one));
  const here = readingAgainItems(job, readings);
  const ways = (side: string): readonly MenuItem[] => {
    if (side === job.side) {
      const [only, more] = here;
      return only && !more ? [{ ...only, label: `work on the ${side}`, aside: 'this job' }] : here;
    }
    const other = around.otherSides.find((one) => one.side === side);
    return other ? [item(`work on the ${side}`, { kind: 'job', job: other.id }, other.id)] : [];
  };
  return job.plan.each.flatMap(ways);
};

/** What the prompt of a job offers to choose from; nothing where something is entered instead. */
export const promptItems = memoised((here: JobNow): readonly MenuItem[] => {
  const prompt = promptNow(here);
  if (prompt.kind === 'doors') {
    const trouble = prompt.troubles[0];
    return trouble ? doors(here.facts, here.job, prompt.step, trouble) : [];
  }
  if (prompt.kind === 'hold') return holdItems(here, prompt.step);
  if (prompt.kind === 'barred') return barredItems(here.facts, here.job, prompt);
  if (prompt.kind === 'refused') return refusedWays(here, prompt);
  if (prompt.kind === 'twins') return twinItems(here, prompt.step);
  if (prompt.kind === 'over') return overItems(here.job, prompt.step);
  return prompt.kind === 'witness' ? witnessItems(here, prompt.step) : [];
});
