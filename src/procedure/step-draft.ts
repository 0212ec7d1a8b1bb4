import type { PartName, PartSlots, Result, Step, Tighten } from './model.ts';

/** A result whose inputs and limits are still text: what they name is known only once the whole file is read. */
export type ResultDraft = Omit<Result, 'from' | 'limits'> & {
  readonly from: Readonly<Record<string, string>>;
  readonly limits?: string;
};

/** `drag` is still text, since it may name a reading. */
export type TightenDraft = Omit<Tighten, 'drag'> & { readonly drag?: string };

/** A step as it is read by itself: where it may name a reading, it still holds text. */
export type StepDraft = Omit<Step, 'onlyIf' | 'results' | 'tighten'> & {
  readonly onlyIf?: { readonly reading: string; readonly is: string };
  readonly results: readonly ResultDraft[];
  readonly tighten?: TightenDraft;
};

/** What a draft holds of one part. */
export type PartDraft<P extends PartName> = StepDraft[PartSlots[P]];
