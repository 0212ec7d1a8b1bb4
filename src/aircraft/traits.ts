import { isOpenItem } from '../job/loose.ts';
import { isOver } from '../job/where.ts';
import { turnsAreas } from './covered.ts';
import type { Trait } from './jobs.ts';
import { inDoubtByFile } from './over.ts';

/*
 * What a question that concerns few jobs asks of all of them. A new trait needs its line in `traits`, and a letter that no other has.
 */

/** Work is left to do in the job. */
export const underWay: Trait = { letter: 'u', isByFile: false, holds: (job) => !isOver(job) };

/** The job has left loose items, closed since or not. */
export const leavesLoose: Trait = { letter: 'l', isByFile: false, holds: ({ loose }) => loose.length > 0 };

/** Some of what the job left loose is still open. */
export const leftLoose: Trait = { letter: 'o', isByFile: false, holds: ({ loose }) => loose.some(isOpenItem) };

/** The job has parts that were named by their serial numbers. */
export const fitsParts: Trait = { letter: 'f', isByFile: false, holds: ({ fitted }) => fitted.length > 0 };

/** The job has a step that proves a feature. */
export const proves: Trait = {
  letter: 'p',
  isByFile: false,
  holds: ({ plan }) => plan.steps.some((step) => step.proves.length > 0),
};

/** All of them: a snapshot keeps which of them each job has. */
export const traits: readonly Trait[] = [
  underWay,
  leavesLoose,
  leftLoose,
  fitsParts,
  proves,
  turnsAreas,
  inDoubtByFile,
];
