import type { Step } from '../model.ts';
import type { Names } from '../names.ts';
import type { Subject } from '../subject.ts';
import { itemsOf, type Path, textsOf } from '../tree.ts';

/** A file whose steps have been read, while the checks of the trade go over it. */
export interface Checking {
  readonly subject: Subject;
  readonly names: Names;
  /** One for each step of the file; of a faulty step, the parts that are sound. */
  readonly steps: readonly Step[];
}

export type Check = (checking: Checking) => void;

export type StepList = 'sets' | 'proves' | 'relies-on' | 'covers' | 'uncovers' | 'reaches' | 'closes';

/**
 * The texts under a key of every step, as they stand in the file: what a faulty step says counts here too, so that
 * nothing is missed for a fault that has been told.
 */
export const rawLists = ({ subject }: Checking, key: StepList): readonly (readonly string[])[] =>
  itemsOf(subject.tree, 'steps').map((step) => textsOf(step, key).map(({ text }) => text));

export const stepPath = (index: number, ...rest: Path): Path => ['steps', index, ...rest];

/** Steps that a hold inspects: those it names, else everything since the last hold point. Indexes, ascending. */
export const inspectedBy = ({ steps, names }: Checking, index: number): readonly number[] => {
  const hold = steps[index]?.hold;
  if (hold === undefined) return [];
  if (hold.of !== undefined) return hold.of.flatMap((id) => names.steps.named.get(id)?.step ?? []);
  const last = steps.slice(0, index).findLastIndex((step) => step.hold?.kind === 'hold');
  return Array.from({ length: index - last - 1 }, (_, offset) => last + 1 + offset);
};
