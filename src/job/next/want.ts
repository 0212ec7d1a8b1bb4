import type { Hold, Step } from '../../procedure/model.ts';
import type { Trouble, Wanted } from '../parts/part.ts';
import type { PotLifeNow } from '../potlife.ts';
import type { Finding } from '../state.ts';

/**
 * One thing that a step still wants from a person before it can be finished. `asked`: it is only asked for, and nothing refuses without it
 * now; otherwise the step, or what comes next in it, is refused until it is there. What a departure has overruled is not wanted any more.
 */
export type Want =
  /** The pot life of the glue is over: it is discarded and mixed again. */
  | { readonly want: 'fresh-glue'; readonly life: PotLifeNow }
  /** What the step commits to when it begins is read first: the permanent steps. Empty where only the helpers are to be there. */
  | { readonly want: 'begin'; readonly commits: readonly Step[] }
  /** `at`: the act with which they are named at the latest. */
  | {
      readonly want: 'helpers';
      readonly at: 'begin' | 'finish';
      readonly needed: number;
      readonly named: number;
      readonly asked: boolean;
    }
  /** Values outside or undecided, which no disposition covers. */
  | { readonly want: 'trouble'; readonly troubles: readonly Trouble[] }
  /** Which individual tool of a kind is used. */
  | { readonly want: 'tool'; readonly kind: string }
  /** The lot of a material, for each part that it is mixed from. */
  | { readonly want: 'lot'; readonly material: string }
  /** The temperature and humidity of the shop. */
  | { readonly want: 'shop'; readonly asked: true }
  /** One value, batch, photo … of the step. */
  | { readonly want: 'part'; readonly wanted: Wanted }
  /**
   * Somebody looks at it. `unanswered`: the first finding that must be answered before they look again. A witness is only asked for.
   */
  | {
      readonly want: 'look';
      readonly hold: Hold;
      readonly open: readonly Finding[];
      readonly unanswered?: Finding;
      readonly asked: boolean;
    }
  /** A stage of the step's cure. `from`: when the cure began, ms; absent while it has not. */
  | { readonly want: 'cure'; readonly until: string; readonly from?: number }
  /** Time passes. `from`: since when, ms; absent while the clock is in doubt. */
  | { readonly want: 'wait'; readonly text: string; readonly from?: number };

export type WantOf<W extends Want['want']> = Extract<Want, { readonly want: W }>;
