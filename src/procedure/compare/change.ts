import type { Node } from './sheet.ts';

/** How two revisions differ in one place. */
export const changeKinds = [
  'added',
  'removed',
  'moved',
  'renamed',
  'text',
  'tighter',
  'looser',
  'shifted',
  'same-in-other-unit',
  'changed',
] as const;

export type ChangeKind = (typeof changeKinds)[number];

/** A change as others build on it (`compare --json`). */
export interface PlainChange {
  /** The step's id in the new procedure, of a removed one in the old; `""` for the head. */
  readonly step: string;
  /** The id of the reading or result, where the change is about one. */
  readonly reading?: string;
  readonly kind: ChangeKind;
  /** What has changed, by its keys in the file: `limits`, `hold look-for`, `gather tools torque-wrench in-date`. */
  readonly what: string;
  /** As the old file has it; absent where there was nothing. */
  readonly old?: string;
  readonly new?: string;
}

/** A change that can be carried out: `path` leads, key by key, to the node or list that `edit` changes. */
export interface Change extends PlainChange {
  readonly path: readonly string[];
  readonly edit: Edit;
}

/**
 * What makes the new sheet out of the old one. `after` is the item of the new list before it; absent: it is the first.
 * - `set`: the nodes under the keys; `undefined` takes one away.
 * - `replace`: an item gives way to another one, in the same place.
 * - `carry`: a reading or result goes from one step to another.
 */
export type Edit =
  | { readonly do: 'set'; readonly fields: Readonly<Record<string, Node | undefined>> }
  | { readonly do: 'insert'; readonly id: string; readonly node: Node; readonly after?: string }
  | { readonly do: 'remove'; readonly id: string }
  | { readonly do: 'move'; readonly id: string; readonly after?: string }
  | { readonly do: 'replace'; readonly id: string; readonly by: string; readonly node: Node }
  | { readonly do: 'rename'; readonly space: 'steps' | 'values'; readonly from: string; readonly to: string }
  | { readonly do: 'carry'; readonly id: string; readonly from: string; readonly to: string; readonly after?: string };

/** The change without what is needed only to carry it out. */
export const plainChange = ({ step, reading, kind, what, old, new: now }: Change): PlainChange => ({
  step,
  ...(reading === undefined ? {} : { reading }),
  kind,
  what,
  ...(old === undefined ? {} : { old }),
  ...(now === undefined ? {} : { new: now }),
});
