import type { Limits } from '../quantity/limits.ts';

/** How ids change: those of a step's own things, and those that it refers to. One id of a step or loose item may become several. */
export interface IdChange {
  readonly own: Readonly<Record<'step' | 'value' | 'item' | 'photo', (id: string) => string>>;
  readonly steps: (ids: readonly string[]) => readonly string[];
  readonly value: (id: string) => string;
  readonly items: (ids: readonly string[]) => readonly string[];
  readonly limits: (limits: Limits) => Limits;
}
