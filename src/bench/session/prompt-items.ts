import { memoised } from '../../fault/memo.ts';
import type { JobNow } from '../job-now.ts';
import { doors } from './doors.ts';
import { holdItems, witnessItems } from './hold-items.ts';
import { overItems } from './menu/glue.ts';
import { barredItems } from './menu/left.ts';
import type { MenuItem } from './menu/item.ts';
import { promptNow } from './prompt-now.ts';

/** What the prompt of a job offers to choose from; nothing where something is entered instead. */
export const promptItems = memoised((here: JobNow): readonly MenuItem[] => {
  const prompt = promptNow(here);
  if (prompt.kind === 'doors') {
    const trouble = prompt.troubles[0];
    return trouble ? doors(here.facts, here.job, prompt.step, trouble) : [];
  }
  if (prompt.kind === 'hold') return holdItems(here, prompt.step);
  if (prompt.kind === 'barred') return barredItems(here.facts, here.job, prompt);
  if (prompt.kind === 'over') return overItems(here.job, prompt.step);
  return prompt.kind === 'witness' ? witnessItems(here, prompt.step) : [];
});
