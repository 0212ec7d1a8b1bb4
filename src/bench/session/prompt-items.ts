import { memoised } from '../../fault/memo.ts';
import type { JobNow } from '../job-now.ts';
import { refusalShown } from './ahead.ts';
import { doors } from './doors.ts';
import { waysOutOf } from './menu.ts';
import { doneFormItem } from './menu/done.ts';
import { holdItems, witnessItems } from './hold-items.ts';
import { overItems } from './menu/glue.ts';
import { barredItems } from './menu/left.ts';
import type { MenuItem } from './menu/item.ts';
import { promptNow } from './prompt-now.ts';
import type { PromptOf } from './prompt.ts';

/** What helps against what refuses the next entry, and the way to write down what is done already. */
const refusedWays = ({ facts, job }: JobNow, { form, step, refusals }: PromptOf<'refused'>): readonly MenuItem[] => {
  const codes = refusals.map(({ code }) => code);
  const first = refusalShown(form, step, refusals);
  return [...waysOutOf(facts, job, codes), ...(first?.mayBeDone === true ? [doneFormItem(job, form, first.what)] : [])];
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
  if (prompt.kind === 'over') return overItems(here.job, prompt.step);
  return prompt.kind === 'witness' ? witnessItems(here, prompt.step) : [];
});
