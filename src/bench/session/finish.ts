import type { Step } from '../../procedure/model.ts';
import type { PromptOf } from './prompt.ts';

/** The finish of a step: with enter, but a permanent or critical step has a key of its own for it. */
export const finishOf = (step: Step): PromptOf<'finish'> => ({
  kind: 'finish',
  step,
  own: step.permanent || step.critical ? 'finish' : undefined,
});
