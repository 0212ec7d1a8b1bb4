import type { Procedure, Step } from '../procedure/model.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { Contradiction } from './contradiction.ts';
import type { LogRows } from './logger/log.ts';
import type { JobState, LooseItem } from './state.ts';

export type Power = 'builder' | 'helper' | 'witness' | 'adviser' | 'inspector' | 'designer';

export const allPowers: readonly Power[] = ['builder', 'helper', 'witness', 'adviser', 'inspector', 'designer'];

/** Who holds one of these powers has a key and signs. Helpers and advisers are only named. */
export const signingPowers: readonly Power[] = ['builder', 'witness', 'inspector', 'designer'];

/** build.yaml gives these powers, but they hold only once the person has signed for them. */
export const wantsSignature = (power: string): power is 'inspector' | 'designer' =>
  power === 'inspector' || power === 'designer';

export interface PersonNow {
  readonly person: string;
  readonly name?: string;
  /** Those that hold now: inspector and designer only once the person has signed. */
  readonly powers: readonly Power[];
  /** The id of the same person from before they lost a key. Only they say so: nobody could vouch for the new key. */
  readonly follows?: string;
}

export interface ToolNow {
  readonly tool: string;
  readonly kind: string;
  /** A day, `2026-05-31`. */
  readonly inDateUntil?: string;
  readonly uncertainty?: string;
  readonly resolution?: string;
  /** The expanded uncertainty U (k = 2) from its certificate. */
  readonly calibration?: string;
  /** What was found when it was dropped or checked, oldest first. */
  readonly found: readonly {
    readonly what: 'dropped' | 'wrong' | 'checked';
    readonly when: string;
    /** The same as `when`, ms. */
    readonly ms: number;
  }[];
}

/** A lot, as the build's stock lists it. */
export interface LotNow {
  /** The last day on which it may be used: its use-by, sooner where it was opened, later where it was extended. */
  readonly goodUntil?: string;
  /** How it was extended beyond its use-by. `evidence` is a file among the attachments, by its name there (`SHA256.EXT`). */
  readonly extended?: {
    readonly to: string;
    readonly because: string;
    readonly evidence?: string;
    readonly by?: string;
    readonly on?: string;
  };
  /** Why it is in quarantine. */
  readonly quarantine?: string;
  /** How much is left of it; absent where the stock does not say how much there was. */
  readonly left?: Quantity;
}

/** A temperature of a place, as somebody typed it. */
export interface TemperatureMark {
  readonly entry: string;
  readonly ms: number;
  readonly temperature: string;
  /** The lowest temperature since the reading before, from a max-min thermometer. */
  readonly lowest?: string;
  /** It is the temperature of the work itself, not of the air around it. */
  readonly surface: boolean;
  /** The clock was in doubt when it was written. The time before it and after it then counts nothing towards a cure. */
  readonly doubtful: boolean;
  /**
   * How often the clock had been set right before it was written. Between two temperatures with different numbers nobody knows how much
   * time passed. Absent where the person gave the time.
   */
  readonly run?: number;
}

/** A logger's file that was imported for a place. */
export interface LogMark {
  readonly entry: string;
  /** The number of the import in this build, from 1. */
  readonly n: number;
  /** The name of the file as it was imported. */
  readonly file: string;
  /** Hash of its content, by which it is kept. */
  readonly sha256: string;
  /** How many rows it has. */
  readonly count: number;
  /** When its first and last row were taken, ms. */
  readonly first: number;
  readonly last: number;
  readonly rows: () => LogRows;
  /** It was imported by mistake: it stays readable and counts for nothing. */
  readonly struck?: { readonly entry: string; readonly reason: string };
}

/** Something that is still open and must be closed before a gate is passed. */
export interface OpenThing {
  readonly what: string;
  readonly job: string;
  readonly gate?: string;
  /** The loose item, if it is one. */
  readonly item?: string;
}

/** A finished step that was built over work now in doubt. */
export interface Overbuilt {
  readonly on: string;
  readonly step: string;
  readonly key: string;
  readonly what: string;
}

/** An entry of another job, on which a step rests, contradicts what was done at the same time on another machine. */
export interface RestingOn {
  readonly contradiction: Contradiction;
  /** For a person: `close relies on keel-line, which dry-fit of keel-1a2b3c proved`. */
  readonly why: string;
}

/** What the rules of a job must know about the rest of the build. The aircraft room makes it; the job room only reads it. */
export interface Surroundings {
  readonly people: Readonly<Record<string, PersonNow>>;
  /** In the order in which they are passed. */
  readonly gates: readonly string[];
  readonly tools: Readonly<Record<string, ToolNow>>;
  /** A lot of a material in the build's stock. */
  readonly lot: (material: string, number: string) => LotNow | undefined;
  /** Temperatures typed for a place, by time; the unnamed place is ''. It is the same list until another is entered. */
  readonly temperatures: (place: string) => readonly TemperatureMark[];
  /** Logs imported for a place, in the order of their entries. It is the same list until another is imported or struck. */
  readonly logs: (place: string) => readonly LogMark[];
  /** The latest job of each other side of the same procedure. */
  readonly otherSides: readonly JobState[];
  /** Where a feature was proved outside this job. */
  readonly provedElsewhere: (feature: string) => string | undefined;
  /** Steps of other open jobs that must still reach an area. */
  readonly stillReaching: (area: string) => readonly { readonly job: string; readonly step: string }[];
  /** What other jobs must still close before a gate. */
  readonly openElsewhere: (gate: string) => readonly OpenThing[];
  /** Every loose item of the build, with its job. */
  readonly looseItems: readonly (LooseItem & { readonly job: string })[];
  /** Lot numbers of a material used in the last completed job of a procedure. */
  readonly lotsUsedIn: (procedure: string, material: string) => readonly string[];
  /** Finished steps of this job that were built over work in doubt, here or in another job (rule 7). */
  readonly builtOver: () => readonly Overbuilt[];
  /** Entries of this job that contradict what was done at the same time on another machine, and that nobody has settled yet. */
  readonly contradictions: readonly Contradiction[];
  /** The same in other jobs, as far as a step of this job rests on what they did. */
  readonly contradictionsUnder: (step: Step) => readonly RestingOn[];
  /** The names of the next batch and the next tag on this machine: `B-3`, `T-12`. */
  readonly nextBatch: string;
  readonly nextTag: string;
  /** The procedure whose text a command names by its hash. */
  readonly named?: Procedure;
  /** Why the clock cannot be believed now; rules on time refuse until it can. */
  readonly clockTrouble?: string;
  /** Since when the clock can be believed again, ms: 0 if it always could, Infinity if it cannot now. */
  readonly clockSince: number;
}
