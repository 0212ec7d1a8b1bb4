import type { Procedure, Step } from '../procedure/model.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { Contradiction } from './contradiction.ts';
import type { LogRows } from './logger/log.ts';
import type { GateSheet } from './gate-sheet.ts';
import type { JobState, LooseItem } from './state.ts';
import type { Struck } from './stamp.ts';

export type Power = 'builder' | 'helper' | 'witness' | 'adviser' | 'inspector' | 'designer';

export const allPowers: readonly Power[] = ['builder', 'helper', 'witness', 'adviser', 'inspector', 'designer'];

/** A person with one of these powers has a key and signs. Helpers and advisers are only named. */
export const signingPowers: readonly Power[] = ['builder', 'witness', 'inspector', 'designer'];

/** True for a power of build.yaml that a person has only once they have signed for it. */
export const wantsSignature = (power: string): power is 'inspector' | 'designer' =>
  power === 'inspector' || power === 'designer';

export interface PersonNow {
  readonly person: string;
  readonly name?: string;
  /** The powers that the person has now; inspector and designer count only once signed for. */
  readonly powers: readonly Power[];
  /** The earlier id of the same person, from before they lost a key. Nobody could vouch for the new key, so the person alone says so. */
  readonly follows?: string;
}

export interface ToolNow {
  readonly tool: string;
  readonly kind: string;
  /** The last day on which the tool is in date, `2026-05-31`. */
  readonly inDateUntil?: string;
  readonly uncertainty?: string;
  readonly resolution?: string;
  /** The expanded uncertainty U (k = 2) from the tool's certificate, with its unit. */
  readonly calibration?: string;
  /** What was found when the tool was dropped or checked, oldest first. */
  readonly found: readonly {
    readonly entry: string;
    readonly at: string;
    readonly by: string;
    readonly what: 'dropped' | 'wrong' | 'checked';
    readonly when: string;
    /** The same as `when`, in ms since 1970. */
    readonly ms: number;
  }[];
}

/** Why nobody may use something that is in stock, and since when. */
export interface Quarantine {
  readonly because: string;
  /** The entry that put it in quarantine, and its time; ms since 1970. */
  readonly entry: string;
  readonly ms: number;
}

/** A part with a serial number, as the build's stock lists it. */
export interface PartNow {
  /** Absent where the stock lists the part and not this serial number. */
  readonly serial?: string;
  readonly lot?: string;
  readonly quarantine?: Quarantine;
  /** Every serial number of the part that the stock lists. */
  readonly serials: readonly string[];
}

/** Where a part is built in. */
export interface FittedAt {
  readonly job: string;
  readonly step?: string;
  readonly entry: string;
}

/** A lot, as the build's stock lists it. */
export interface LotNow {
  /** The last day on which the lot may be used: its use-by date, earlier where it was opened, later where it was extended. */
  readonly goodUntil?: string;
  /** How the use-by date was extended. `evidence` names a file among the attachments (`SHA256.EXT`). */
  readonly extended?: {
    readonly to: string;
    readonly because: string;
    readonly evidence?: string;
    readonly by?: string;
    readonly on?: string;
  };
  /** The day of the stock's own label. */
  readonly useBy?: string;
  readonly made?: string;
  readonly quarantine?: Quarantine;
  /** How much is left; absent where the stock does not say how much there was. */
  readonly left?: Quantity;
}

/** A temperature of a place, as somebody typed it. */
export interface TemperatureMark {
  readonly entry: string;
  /** When it was written and by whom; RFC 3339. */
  readonly at: string;
  readonly by: string;
  /** When it was read, ms since 1970. */
  readonly ms: number;
  readonly temperature: string;
  /** The lowest temperature since an instant (ms since 1970), from a max-min thermometer. */
  readonly lowest?: string;
  readonly since?: number;
  /** True for the temperature of the work itself, false for that of the air. */
  readonly surface: boolean;
  /** The clock was in doubt when this was written. The time before and after it then does not count towards a cure. */
  readonly doubtful: boolean;
  /**
   * How often the clock had been set right before this was written. Nobody knows how much time passed between two temperatures with
   * different numbers. Absent where the person gave the time.
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
  /** SHA-256 of the file's content, by which the file is kept. */
  readonly sha256: string;
  /** How many rows it has. */
  readonly count: number;
  /** When the first row was taken, ms since 1970. */
  readonly first: number;
  /** When the last row was taken, ms since 1970. */
  readonly last: number;
  readonly rows: () => LogRows;
  /** Present where the import was a mistake: it stays readable and does not count. */
  readonly struck?: { readonly entry: string; readonly reason: string };
}

/** A finished step that was built over work which is now in doubt. */
export interface Overbuilt {
  readonly on: string;
  readonly step: string;
  readonly key: string;
  readonly what: string;
}

/** An entry of another job is in contradiction, and a step of this job depends on it. */
export interface RestingOn {
  readonly contradiction: Contradiction;
  /** Why, for a person: `close relies on keel-line, which dry-fit of keel-1a2b3c proved`. */
  readonly why: string;
}

/** A finished step that covers an area. */
export interface Covering {
  readonly job: string;
  readonly step: string;
  /** When it was covered, RFC 3339. */
  readonly when: string;
}

/** What the rules of a job must know about the rest of the build. `aircraft/` makes it; `job/` only reads it. */
export interface Surroundings {
  readonly people: Readonly<Record<string, PersonNow>>;
  /** The gates, in the order in which they are passed. */
  readonly gates: readonly string[];
  readonly tools: Readonly<Record<string, ToolNow>>;
  /** A lot of a material in the build's stock; `undefined` where the stock does not list it. */
  readonly lot: (material: string, number: string) => LotNow | undefined;
  /** A part in the build's stock, by its serial number or else by its lot; `undefined` where the stock lists neither of that part. */
  readonly part: (part: string, serial: string, lot?: string) => PartNow | undefined;
  /** Where in the build the part with this serial number is; `undefined` where nobody has named it. */
  readonly fittedAt: (part: string, serial: string) => FittedAt | undefined;
  /**
   * Temperatures typed for a place, by time; '' is the unnamed place. The list object stays the same until another temperature is entered.
   */
  readonly temperatures: (place: string) => readonly TemperatureMark[];
  /** Logs imported for a place, in the order of their entries. The list object stays the same until a log is imported or struck. */
  readonly logs: (place: string) => readonly LogMark[];
  /** The latest job of each other side of the same procedure. */
  readonly otherSides: readonly JobState[];
  /** Where a feature was proved outside this job, in words; `undefined` where it was not. */
  readonly provedElsewhere: (feature: string) => string | undefined;
  /** The step, of this job or another, that has covered an area; `undefined` where the area can be reached. */
  readonly coveredBy: (area: string) => Covering | undefined;
  /** Steps of other open jobs that must still reach an area. */
  readonly stillReaching: (area: string) => readonly { readonly job: string; readonly step: string }[];
  /** True where every planned side has passed the gate. */
  readonly gatePassed: (gate: string) => boolean;
  /** What a gate still wants of the whole build, and what of it a departure excepts. */
  readonly gateSheet: (gate: string) => GateSheet;
  /** Every loose item of the build, with the job that left it and that job's side. */
  readonly looseItems: readonly (LooseItem & { readonly job: string; readonly side: string | undefined })[];
  /** Lot numbers of a material used in the last completed job of a procedure. */
  readonly lotsUsedIn: (procedure: string, material: string) => readonly string[];
  /** Finished steps of this job that were built over work in doubt, in this job or another (rule 7 of the design). */
  readonly builtOver: () => readonly Overbuilt[];
  /** Entries of this job that contradict what was done on another machine at the same time, and that nobody has settled yet. */
  readonly contradictions: readonly Contradiction[];
  /** Contradictions of other jobs on which a step of this job depends. */
  readonly contradictionsUnder: (step: Step) => readonly RestingOn[];
  /** What corrections struck of entries that belong to no job: temperatures of places, and what was found on tools. */
  readonly struck: readonly Struck[];
  /** The names of the next batch and the next tag on this machine: `B-3`, `T-12`. */
  readonly nextBatch: string;
  readonly nextTag: string;
  /** The procedure whose text a command names by its hash. */
  readonly named?: Procedure;
  /** Why the clock cannot be believed now; absent where it can. Rules on time refuse meanwhile. */
  readonly clockTrouble?: string;
  /** Since when the clock can be believed, ms since 1970: 0 where it always could, Infinity where it cannot now. */
  readonly clockSince: number;
}
