import type { Unit } from '../quantity/units.ts';
import type { Named, Names } from './names.ts';
import type { StepDraft } from './step-draft.ts';
import type { Subject } from './subject.ts';
import type { Path } from './tree.ts';

/** One step while what it names is looked up. */
export interface Resolving {
  readonly subject: Subject;
  readonly names: Names;
  /** Index of the step, from 0. */
  readonly index: number;
  readonly draft: StepDraft;
  /** Of the step. */
  readonly path: Path;
  /** Units of the results above, where they are known. */
  readonly resultUnits: Map<string, Unit>;
}

/** Whether something stands far enough up in the file to be used where it is named. */
export type IsAbove = (found: Named) => boolean;

export const isEarlier =
  (index: number): IsAbove =>
  (found) =>
    found.step < index;

export const isEarlierOrHere =
  (index: number): IsAbove =>
  (found) =>
    found.step <= index;
