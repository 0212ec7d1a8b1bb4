import type { Refusal } from '../../fault/fault.ts';
import type { Hold, Step } from '../../procedure/model.ts';
import type { Trouble, Wanted } from '../parts/part.ts';
import type { PotLifeNow } from '../potlife.ts';
import type { ShopValue } from '../shop.ts';
import type { Finding } from '../judged.ts';

/**
 * One thing that a step still wants from a person before the step can be finished. With `asked`, dryfit only asks and nothing is refused
 * now; otherwise the step, or its next act, is refused until the thing is there. What a departure has overruled is not wanted any more.
 */
export type Want =
  /** The step cannot be begun yet, whoever acts: it waits for a step left for later, or its area is covered. */
  | { readonly want: 'barred'; readonly refusals: readonly Refusal[] }
  /** The pot life of the glue is over. The person discards the batch and mixes again. */
  | { readonly want: 'fresh-glue'; readonly life: PotLifeNow }
  /** The person first reads what the step commits to: the permanent steps. The list is empty where only helpers are needed. */
  | { readonly want: 'begin'; readonly commits: readonly Step[] }
  /** Helpers. `at` is the last act with which they may be named; `needed` and `named` are how many. */
  | {
      readonly want: 'helpers';
      readonly at: 'begin' | 'finish';
      readonly needed: number;
      readonly named: number;
      readonly asked: boolean;
    }
  /** Values that are outside or undecided and that no disposition covers. */
  | { readonly want: 'trouble'; readonly troubles: readonly Trouble[] }
  /** The individual tool of a kind. */
  | { readonly want: 'tool'; readonly kind: string }
  /** The lot of a material, for every part that is mixed from it. */
  | { readonly want: 'lot'; readonly material: string }
  /** The serial number of a part that goes in; `missing` is how many are still to be named. */
  | { readonly want: 'serial'; readonly part: string; readonly missing: number }
  /** Conditions of the shop that the page asks for and nobody has entered in time. */
  | { readonly want: 'shop'; readonly unknown: readonly ShopValue[] }
  /** One value, batch, photo … of the step. */
  | { readonly want: 'part'; readonly wanted: Wanted }
  /**
   * A look by the second person. `unanswered` is the first finding that must be answered before they look again. At a witness point the
   * look is only asked for.
   */
  | {
      readonly want: 'look';
      readonly hold: Hold;
      readonly open: readonly Finding[];
      readonly unanswered?: Finding;
      readonly asked: boolean;
    }
  /** A stage of the step's cure. `from` is when the cure began, ms since 1970; absent while it has not begun. */
  | { readonly want: 'cure'; readonly until: string; readonly from?: number }
  /** A waiting time. `from` is when it began, ms since 1970; absent while the clock is in doubt. */
  | { readonly want: 'wait'; readonly text: string; readonly from?: number };

export type WantOf<W extends Want['want']> = Extract<Want, { readonly want: W }>;
