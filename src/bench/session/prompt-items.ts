import type { JobNow } from '../job-now.ts';
import { doors } from './doors.ts';
import { holdItems, witnessItems } from './hold-items.ts';
import { overItems } from './menu/glue.ts';
import type { MenuItem } from './menu/item.ts';
import type { Prompt } from './prompt.ts';

/** What a prompt offers to choose from; nothing where something is entered instead. */
export const promptItems = ({ facts, job }: JobNow, prompt: Prompt): readonly MenuItem[] => {
  if (prompt.kind === 'doors') {
    const trouble = prompt.troubles[0];
    return trouble ? doors(facts, job, prompt.step, trouble) : [];
  }
  if (prompt.kind === 'hold') return holdItems(facts, job, prompt.step);
  if (prompt.kind === 'over') return overItems(job, prompt.step);
  return prompt.kind === 'witness' ? witnessItems(facts, job, prompt.step) : [];
};
