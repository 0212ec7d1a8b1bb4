import type { GateItem } from './gate-sheet.ts';
import type { Stamp } from './stamp.ts';

export interface Look extends Stamp {
  readonly kind: 'release' | 'refuse' | 'reinspect' | 'invite';
  /** The person who looked: `by`, or the signer of the answer that `by` brought. */
  readonly person: string;
  readonly remark?: string;
  readonly remote: boolean;
  /** Of a look from elsewhere: what was shown, and what could not be judged. */
  readonly shown?: string;
  readonly notJudged?: string;
  /** Why the performer looked again at their own work. */
  readonly reason?: string;
  /** The person had performed the inspected work. Such a look is never shown as independent. */
  readonly self: boolean;
  readonly who?: string;
  readonly how?: string;
  /** Numbers of the findings raised. */
  readonly findings: readonly number[];
  /** The signed answer as text, and its signature. */
  readonly answer?: string;
  readonly signature?: string;
  readonly voided?: string;
}

export interface Finding extends Stamp {
  /** Numbered for the job from 1, never reused. */
  readonly number: number;
  readonly step: string;
  readonly person: string;
  readonly text: string;
  readonly answers: readonly (Stamp & { readonly remark: string })[];
  readonly closed?: Stamp;
}

export interface Departure extends Stamp {
  readonly code: string;
  readonly says: string;
  readonly did: string;
  readonly because: string;
  /** Who agreed, as typed. */
  readonly agreed?: string;
  /** The person who agreed and signed the entry too; absent where the agreement is their word alone. */
  readonly agreedBy?: string;
  /** What it does to weight and balance, to access, and to later steps, as far as the person said. */
  readonly weight?: string;
  readonly access?: string;
  readonly steps?: string;
  /** The step for which the departure overruled a refusal. */
  readonly step?: string;
  /** A departure `gate-open` excepts these items at this gate, and no others. */
  readonly excepts?: { readonly gate: string; readonly items: readonly GateItem[] };
}

export type DispositionKind = 'rework' | 'repair' | 'use-as-is' | 'scrap' | 'ask';

export interface Disposition extends Stamp {
  /** Counted from 1, where it is about one fastener. */
  readonly fastener?: number;
  /** Where it is about one value of a reading: its position, and which value of the position it is, from 1. */
  readonly position?: string;
  readonly n?: number;
  readonly on: string;
  readonly step?: string;
  readonly kind: DispositionKind;
  readonly reason: string;
  /** Who accepted it with their own key. */
  readonly acceptedBy?: string;
  /** SHA-256 of the letter in which somebody accepted it, who did not sign here; and who wrote the letter, as typed. */
  readonly letter?: string;
  readonly author?: string;
  /** What the disposition covers: `ENTRY=value` for each value, so that a later value is not covered. */
  readonly covers: readonly string[];
}

export type ResolutionKind = 'comply' | 'not-applicable' | 'record-only';

/** What the builder decided about a change of a revision, or about a bulletin. */
export interface Resolution extends Stamp {
  /** The step, the reading or the bulletin, as the builder named it. */
  readonly on: string;
  readonly step?: string;
  readonly kind: ResolutionKind;
  readonly reason?: string;
  readonly revision: string;
  /** SHA-256 of the revision's text. */
  readonly sha256: string;
  /** The procedure that answers the bulletin; absent where a change of a revision was decided. */
  readonly answeredBy?: string;
  /** The changes that were decided, each by its place: `down down limits`. */
  readonly covers: readonly string[];
}
