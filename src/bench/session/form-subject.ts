import type { Slot } from '../../job/values.ts';
import type { Mix, Reading, Step, Tighten } from '../../procedure/model.ts';

/** The part of a step that a form enters, where its screen can draw more than the question: a gauge, a map, a curve. */
export type FormSubject =
  | { readonly part: 'reading'; readonly reading: Reading; readonly slot: Slot }
  | { readonly part: 'tighten'; readonly step: Step; readonly tighten: Tighten; readonly fastener: number }
  | { readonly part: 'mix'; readonly step: Step; readonly mix: Mix }
  | { readonly part: 'cure'; readonly step: Step };
