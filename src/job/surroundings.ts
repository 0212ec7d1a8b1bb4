import type { Procedure, Step } from '../procedure/model.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { Contradiction } from './contradiction.ts';
import type { LogRows } from './logger/log.ts';
import type { JobState, LooseItem } from './state.ts';

export type Power = 'builder' | 'helper' | 'witness' | 'adviser' | 'inspector' | 'designer';

export const allPowers: readonly Power[] = ['builder', 'helper', 'witness', 'adviser', 'inspector', 'designer'];

/** Helpers and advisers are named; these sign, and have keys. */
export const signingPowers: readonly Power[] = ['builder', 'witness', 'inspector', 'designer'];

/** A power that build.yaml gives, and that is in force once its person has signed for it. */
export const wantsSignature = (power: string): power is 'inspector' | 'designer' =>
  power === 'inspector' || power === 'designer';

export interface PersonNow {
  readonly person: string;
  readonly name?: string;
  /** In force: inspector and designer only once that person's own signature is there. */
  readonly powers: readonly Power[];
  /** Whom they say that they are, under a key that nobody could vouch for. */
  readonly follows?: string;
}

export interface ToolNow {
  readonly tool: string;
  readonly kind: string;
  /** A day, as the build has it. */
  readonly inDateUntil?: string;
  readonly uncertainty?: string;
  readonly resolution?: string;
  /** The certificate's U (k = 2). */
  readonly calibration?: string;
  /** What was found of it, oldest first. */
  readonly found: readonly {
    readonly what: 'dropped' | 'wrong' | 'checked';
    readonly when: string;
    readonly ms: number;
  }[];
}

/** A lot as the build's stock has it. */
export interface LotNow {
  /** The last day on which it is good: its use-by, sooner where it was opened, later where it was extended. */
  readonly goodUntil?: string;
  /** Extended beyond its use-by: to which day, on what evidence (`SHA256.EXT` among the attachments), by whom. */
  readonly extended?: {
    readonly to: string;
    readonly because: string;
    readonly evidence?: string;
    readonly by?: string;
    readonly on?: string;
  };
  /** Why it is set aside. */
  readonly quarantine?: string;
  /** What is left of it, where the stock says how much there was. */
  readonly left?: Quantity;
}

/** A known temperature of a place. */
export interface TemperatureMark {
  readonly entry: string;
  readonly ms: number;
  readonly temperature: string;
  /** The lowest since the reading before, from a max-min thermometer. */
  readonly lowest?: string;
  /** Of the work itself, not of the air around it. */
  readonly surface: boolean;
  /** Its stamp is not to be trusted: the interval that ends or begins here counts nothing. */
  readonly doubtful: boolean;
  /**
   * How often the clock had been set right before it was stamped: between two such stamps nobody knows how long it was. Absent where the
   * person said the time.
   */
  readonly run?: number;
}

/** A logger's file that was imported for a place. */
export interface LogMark {
  readonly entry: string;
  /** Counted in the build, from 1. */
  readonly n: number;
  /** Its own name, and the name that its content gives it. */
  readonly file: string;
  readonly sha256: string;
  readonly count: number;
  /** Of its first and last row, ms. */
  readonly first: number;
  readonly last: number;
  readonly rows: () => LogRows;
  /** A wrong import counts for nothing; it stays readable. */
  readonly struck?: { readonly entry: string; readonly reason: string };
}

/** Something that stands open before a gate. */
export interface OpenThing {
  readonly what: string;
  readonly job: string;
  readonly gate?: string;
  /** The loose item, where it is one. */
  readonly item?: string;
}

/** A finished step that was built over work in doubt. */
export interface Overbuilt {
  readonly on: string;
  readonly step: string;
  readonly key: string;
  readonly what: string;
}

/** What a step rests on, in another job, contradicts what was done elsewhere. */
export interface RestingOn {
  readonly contradiction: Contradiction;
  /** For a person: `close relies on keel-line, which dry-fit of keel-1a2b3c proved`. */
  readonly why: string;
}

/** What a job must know of the build around it. Made by `build/`, read only here. */
export interface Surroundings {
  readonly people: Readonly<Record<string, PersonNow>>;
  /** In the order in which they are passed. */
  readonly gates: readonly string[];
  readonly tools: Readonly<Record<string, ToolNow>>;
  /** What the build's stock says of a lot. */
  readonly lot: (material: string, number: string) => LotNow | undefined;
  /** Temperatures that were typed for a place, by time; the unnamed place is ''. The same list until another is entered. */
  readonly temperatures: (place: string) => readonly TemperatureMark[];
  /** Logs that were imported for a place, in the order of their entries. The same list until another is. */
  readonly logs: (place: string) => readonly LogMark[];
  /** The latest job of each other side of the same procedure. */
  readonly otherSides: readonly JobState[];
  /** Where a feature was proved outside this job. */
  readonly provedElsewhere: (feature: string) => string | undefined;
  /** Steps of other open jobs that must still reach an area. */
  readonly stillReaching: (area: string) => readonly { readonly job: string; readonly step: string }[];
  /** What stands open before a gate in other jobs. */
  readonly openElsewhere: (gate: string) => readonly OpenThing[];
  /** Every loose item of the build, with its job. */
  readonly looseItems: readonly (LooseItem & { readonly job: string })[];
  /** Lot numbers of a material used in the last completed job of a procedure. */
  readonly lotsUsedIn: (procedure: string, material: string) => readonly string[];
  /** Finished steps of this job that were built over work in doubt, here or in another job (rule 7). */
  readonly builtOver: () => readonly Overbuilt[];
  /** What in this job contradicts what was done elsewhere, and nobody has settled yet. */
  readonly contradictions: readonly Contradiction[];
  /** The same in other jobs, where a step of this one rests on what they did, and why it does. */
  readonly contradictionsUnder: (step: Step) => readonly RestingOn[];
  /** What the next batch and the next tag of whoever writes are called: `B-3`, `T-12`. */
  readonly nextBatch: string;
  readonly nextTag: string;
  /** What stands in the text that a command names by its hash. */
  readonly named?: Procedure;
  /** Why rules on time refuse now. */
  readonly clockTrouble?: string;
  /** Since when the clock is believed again, ms: 0 where it always was, Infinity where it is not. */
  readonly clockSince: number;
}
