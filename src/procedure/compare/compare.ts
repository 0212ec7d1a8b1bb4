import type { Procedure } from '../model.ts';
import type { Plan } from '../plan.ts';
import { carriedBetween, carrySteps } from './carry.ts';
import type { Change } from './change.ts';
import { diffGroups, type Spot } from './differ.ts';
import { diffAllSteps } from './diff-steps.ts';
import { headSheet } from './head-sheet.ts';
import { renameSteps } from './rename-steps.ts';
import { type Confirmed, findRenames, type Renames } from './renames.ts';

export interface Comparison {
  /** First of the head, then step by step in the new procedure's order; a step that is gone follows the step that it stood behind. */
  readonly changes: readonly Change[];
  /** Confirmed or proposed; the changes are listed under the new ids. */
  readonly renames: Renames;
  /** Both are revisions of one procedure. */
  readonly sameProcedure: boolean;
}

export interface CompareOptions {
  /** Old id → new id of steps, readings and results, where somebody said so. */
  readonly renamed?: Confirmed;
  /** Whether the same thing under another id is proposed as renamed; true where nothing is said. */
  readonly propose?: boolean;
}

/**
 * The changes from one procedure to another, or between two plans of one side. The same procedure twice gives none; carried out on the old one,
 * they give the new one. The time taken grows about as the number of steps does.
 */
export const compareProcedures = (
  before: Procedure | Plan,
  now: Procedure | Plan,
  options: CompareOptions = {},
): Comparison => {
  const renames = findRenames(before.steps, now.steps, options.renamed ?? {}, options.propose !== false);
  const renamed = renameSteps(before.steps, renames);
  const carried = carriedBetween(renamed, now.steps);
  const from = carrySteps(renamed, carried);
  const head: Spot = { step: '', path: ['head'], named: [] };
  return {
    changes: [
      ...diffGroups(head, headSheet(before), headSheet(now)),
      ...diffAllSteps(from, now.steps, renames, carried),
    ],
    renames,
    sameProcedure: before.procedure === now.procedure,
  };
};
