import { limitRefs, type Limits, renameRefs } from '../../quantity/limits.ts';
import type { IdChange } from '../id-change.ts';
import { withIds } from '../ids.ts';
import type { Step } from '../model.ts';
import type { Renames } from './renames.ts';

const renameLimits = (limits: Limits, values: ReadonlyMap<string, string>): Limits => {
  const refs = new Set(limitRefs(limits).filter((id) => values.has(id)));
  if (refs.size === 0) return limits;
  const rename = (id: string): string => (refs.has(id) ? (values.get(id) ?? id) : id);
  return { ...renameRefs(limits, rename), text: limits.text.replace(/[\p{L}\p{N}/-]+/gu, rename) };
};

/** The old steps under their new ids. */
export const renameSteps = (steps: readonly Step[], { steps: ids, values }: Renames): readonly Step[] => {
  if (ids.size === 0 && values.size === 0) return steps;
  const keep = (id: string): string => id;
  const step = (id: string): string => ids.get(id) ?? id;
  const value = (id: string): string => values.get(id) ?? id;
  const change: IdChange = {
    own: { step, value, item: keep, photo: keep },
    steps: (list) => list.map(step),
    value,
    items: (list) => list,
    limits: (limits) => renameLimits(limits, values),
  };
  return steps.map((one) => withIds(one, change));
};
