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
  /** Of the head, then step by step in the order of the new one; a step that is gone stands where it stood. */
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
 * What the new one changes, place by place: two procedures, or two plans of one side. The same twice gives no change; the
 * changes, carried out on the old one, give the new one. Work grows about as the number of steps does.
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
