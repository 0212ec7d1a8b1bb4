import type { Step } from '../model.ts';
import type { Names } from '../names.ts';
import type { Subject } from '../subject.ts';
import { itemsOf, type Path, textsOf } from '../tree.ts';

/** A file whose steps have been read, while the checks of the trade are made. */
export interface Checking {
  readonly subject: Subject;
  readonly names: Names;
  /** One for every step of the file; where a step has faults, what is left without them. */
  readonly steps: readonly Step[];
}

export type Check = (checking: Checking) => void;

export type StepList = 'sets' | 'proves' | 'relies-on' | 'covers' | 'uncovers' | 'reaches' | 'closes';

/**
 * The texts under a key of every step, as the file has them. A step with faults counts too, so that a fault with its own message never
 * brings a second one about what the step says.
 */
export const rawLists = ({ subject }: Checking, key: StepList): readonly (readonly string[])[] =>
  itemsOf(subject.tree, 'steps').map((step) => textsOf(step, key).map(({ text }) => text));

export const stepPath = (index: number, ...rest: Path): Path => ['steps', index, ...rest];

/** Indexes of the steps that a hold inspects, ascending: those that it names, else all since the last hold point. */
export const inspectedBy = ({ steps, names }: Checking, index: number): readonly number[] => {
  const hold = steps[index]?.hold;
  if (hold === undefined) return [];
  if (hold.of !== undefined) return hold.of.flatMap((id) => names.steps.named.get(id)?.step ?? []);
  let first = index;
  while (first > 0 && steps[first - 1]?.hold?.kind !== 'hold') first -= 1;
  return Array.from({ length: index - first }, (_, offset) => first + offset);
};

/** For each word in lists of the steps, the indexes of the steps whose list has it, ascending. */
export const placesOf = (lists: readonly (readonly string[])[]): ReadonlyMap<string, readonly number[]> => {
  const found = new Map<string, number[]>();
  for (const [index, words] of lists.entries())
    for (const word of words) {
      const list = found.get(word);
      if (list === undefined) found.set(word, [index]);
      else list.push(index);
    }
  return found;
};
