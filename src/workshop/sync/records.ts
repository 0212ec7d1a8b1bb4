import { ok, type Outcome } from '../../fault/fault.ts';
import { onDisk } from '../../store/disk-fault.ts';
import { inState } from '../../store/layout.ts';
import { recordFolderOf, stateFile } from '../../store/state-files.ts';
import { isOwnEntry, type Here, type StateTree } from './tree.ts';

/*
 * Records with their numbers. A record that both sides had stays as it was. Where both wrote one with the same number since, only one
 * can stay: theirs, because others may have it already. The story of ours is in the journal, and the next entry writes it anew.
 */

/** By job, then by number: the content ids by file name. */
type Records = ReadonlyMap<string, ReadonlyMap<number, ReadonlyMap<string, string>>>;

const recordsIn = (tree: StateTree): Records => {
  const jobs = new Map<string, Map<number, Map<string, string>>>();
  for (const [path, entry] of tree) {
    const file = isOwnEntry(path, entry) ? stateFile(path) : undefined;
    if (file?.kind !== 'record') continue;
    const numbers = jobs.get(file.job) ?? new Map<number, Map<string, string>>();
    jobs.set(
      file.job,
      numbers.set(file.number, (numbers.get(file.number) ?? new Map<string, string>()).set(file.name, entry.id)),
    );
  }
  return jobs;
};

type Files = ReadonlyMap<string, string>;
const same = (one: Files | undefined, other: Files | undefined): boolean =>
  one !== undefined &&
  other !== undefined &&
  one.size === other.size &&
  [...one].every(([name, id]) => other.get(name) === id);

export interface RecordsToTake {
  readonly paths: readonly string[];
  /** Ours that give way, by job and number. */
  readonly replaced: readonly (readonly [job: string, number: number])[];
  readonly told: readonly string[];
}

export const recordsToTake = (
  { disk, state, tree }: Here,
  theirs: StateTree,
  base: StateTree,
): Outcome<RecordsToTake> => {
  const [ours, there, common] = [recordsIn(tree), recordsIn(theirs), recordsIn(base)];
  const paths: string[] = [];
  const replaced: [string, number][] = [];
  const told: string[] = [];
  const take = (job: string, number: number, names: Iterable<string>): void => {
    for (const name of names) paths.push(`${recordFolderOf(job, number)}/${name}`);
  };
  for (const [job, numbers] of there) {
    const mine = ours.get(job);
    const before = common.get(job);
    const inOrder = [...numbers].toSorted(([a], [b]) => a - b);
    const conflict = inOrder.find(
      ([number, files]) => mine?.has(number) === true && !same(mine.get(number), files) && before?.has(number) !== true,
    );
    const from = conflict?.[0] ?? Infinity;
    if (conflict !== undefined) {
      replaced.push(
        ...[...(mine?.keys() ?? [])]
          .filter((number) => number >= from)
          .map((number) => [job, number] as [string, number]),
      );
      told.push(
        `record ${from} of ${job} was written on both machines: the other one stays, the next entry writes a new one`,
      );
    }
    for (const [number, files] of inOrder) {
      const folder = recordFolderOf(job, number);
      const kept = mine?.get(number);
      if (number >= from || kept === undefined) {
        take(job, number, files.keys());
        continue;
      }
      if (!same(kept, files) && !same(before?.get(number), files))
        told.push(`${folder} was changed elsewhere: it stays as it was written`);
      const missing = onDisk(folder, () =>
        [...files.keys()].filter(
          (name) => kept.has(name) && disk.look(inState(state, `${folder}/${name}`)) === undefined,
        ),
      );
      if (!missing.ok) return missing;
      take(
        job,
        number,
        missing.value.filter((name) => kept.get(name) === files.get(name)),
      );
    }
  }
  return ok({ paths, replaced, told });
};
