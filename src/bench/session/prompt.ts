import type { Fault, Refusal } from '../../fault/fault.ts';
import type { PotLifeNow } from '../../job/potlife.ts';
import type { Trouble } from '../../job/parts/part.ts';
import type { Step } from '../../procedure/model.ts';
import type { OwnKey } from '../keys.ts';
import type { Act } from '../ports.ts';
import type { Form } from './form.ts';

/** An act that is refused before it is asked for. */
export interface HeldAct {
  readonly fault: Fault;
  readonly act: Act;
}

/** The one thing that a job wants next from whoever is at the bench. `prompt-now.ts` decides which. */
export type Prompt =
  /** Something is entered. `beneath`: it is asked beneath the step's own words, or beneath the form's title. */
  | { readonly kind: 'question'; readonly step: Step; readonly form: Form; readonly beneath: 'step' | 'title' }
  /** What would be entered next is refused now, whatever is answered: why, and the ways on. Shown before the hand moves. */
  | { readonly kind: 'refused'; readonly step: Step; readonly form: Form; readonly refusals: readonly Refusal[] }
  /** Before a permanent step: its card is read, then the step is begun with a key of its own. */
  | {
      readonly kind: 'card';
      readonly step: Step;
      readonly commits: readonly Step[];
      readonly helpers: number;
      /** What would refuse the beginning, or the mix that it begins with. */
      readonly refused?: HeldAct;
    }
  | { readonly kind: 'mark'; readonly step: Step; readonly fastener: number }
  /** A value is outside its limits, or undecided: the ways on from it. */
  | { readonly kind: 'doors'; readonly step: Step; readonly troubles: readonly Trouble[] }
  | { readonly kind: 'hold'; readonly step: Step }
  | { readonly kind: 'witness'; readonly step: Step }
  /** `own`: the key that finishes this step, where enter does not. */
  | { readonly kind: 'finish'; readonly step: Step; readonly own: OwnKey | undefined }
  /** Everything is entered, and the sides of the step differ by more than they may. */
  | { readonly kind: 'twins'; readonly step: Step }
  /** The step cannot be begun yet: what it waits for, and the ways on. */
  | { readonly kind: 'barred'; readonly step: Step; readonly refusals: readonly Refusal[] }
  /** The glue for the open step is over its pot life: it is discarded, or a departure is entered. */
  | { readonly kind: 'over'; readonly step: Step; readonly life: PotLifeNow }
  /** Nothing that could be entered here would help, such as a result that cannot be calculated. */
  | { readonly kind: 'stuck'; readonly step: Step; readonly what: string }
  | { readonly kind: 'parked' }
  | { readonly kind: 'complete' }
  | { readonly kind: 'closed' };

/** Each prompt by its kind. */
export type PromptOf<K extends Prompt['kind']> = Extract<Prompt, { readonly kind: K }>;
