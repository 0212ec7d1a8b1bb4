import type * as z from 'zod/mini';
import type { Limits } from '../../quantity/limits.ts';
import type { Node } from '../compare/sheet.ts';
import type { IdChange } from '../id-change.ts';
import type { PartIn, PartName, PartSlots } from '../model.ts';
import type { Resolving } from '../resolving.ts';
import type { PartDraft } from '../step-draft.ts';
import type { Path } from '../tree.ts';

/** A tool or material that a part uses, or a part that goes in. Paths in this file lead from the step. */
export interface Used {
  readonly kind: 'tool' | 'material' | 'part';
  readonly name: string | undefined;
  readonly path: Path;
}

/** Limits that should say where they come from. */
export interface Sourced {
  /** Whose limits they are, in a message. */
  readonly name: string;
  readonly source: string | undefined;
  readonly path: Path;
}

/** Limits on something that is never below zero. */
export interface NeverNegative {
  readonly limits: Limits | undefined;
  readonly path: Path;
  /** What is limited, in a message. */
  readonly what: string;
  /** Whether zero means nothing here either. */
  readonly aboveZero: boolean;
}

/** What a procedure knows of one part of a step: how it is written, checked, compared and renamed. */
export interface WrittenPart<P extends PartName> {
  /** Where a step holds it. */
  readonly slot: PartSlots[P];
  /** Its key in a procedure file. */
  readonly key: string;
  /** What an editor shows beside that key. */
  readonly about: string;
  /** What an editor shows beside each key below it. */
  readonly hints: Readonly<Record<string, string>>;
  readonly schema: z.ZodMiniType<NonNullable<PartDraft<P>>>;
  /**
   * How much goes where something in it is faulty, so that the rest can still be looked at: 1 the whole part, 2 the key of it, 3 the key of one
   * item of its list.
   */
  readonly faultDepth: 1 | 2 | 3;
  /** Looks up what it names, and tells what leads nowhere. What names nothing stays as it is. */
  resolve(draft: NonNullable<PartDraft<P>>, resolving: Resolving): NonNullable<PartIn<P>>;
  /** Laid out for comparison. */
  sheet(part: NonNullable<PartIn<P>>): Node | undefined;
  /** The part with its own ids, and those that it refers to, changed. A part without it has none. */
  rekey?(part: NonNullable<PartIn<P>>, change: IdChange): NonNullable<PartIn<P>>;
  uses?(part: NonNullable<PartIn<P>>): readonly Used[];
  sourced?(part: NonNullable<PartIn<P>>): readonly Sourced[];
  neverNegative?(part: NonNullable<PartIn<P>>): readonly NeverNegative[];
  /** Whether a hold in the same step has something to look at in it. */
  readonly isWork: boolean;
}
