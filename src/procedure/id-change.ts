import type { Limits } from '../quantity/limits.ts';

/** Other ids for a step's own things, and for what it refers to. One id may come to mean several steps or loose items. */
export interface IdChange {
  readonly own: Readonly<Record<'step' | 'value' | 'item' | 'photo', (id: string) => string>>;
  readonly steps: (ids: readonly string[]) => readonly string[];
  readonly value: (id: string) => string;
  readonly items: (ids: readonly string[]) => readonly string[];
  readonly limits: (limits: Limits) => Limits;
}
