import type { LogMark, Power, Quarantine, TemperatureMark, ToolNow } from '../job/surroundings.ts';
import type { JobState } from '../job/state.ts';
import type { Stamp, Struck } from '../job/stamp.ts';
import type { PlannedPage } from '../job/verb-spec.ts';
import type { Contradiction } from '../job/contradiction.ts';
import { emptyFile, type BuildFile } from './file.ts';
import { idsWith, jobIn, noJobs, type Jobs, type Trait } from './jobs.ts';
import { memoised, memoisedBy } from '../fault/memo.ts';
import { own } from '../fault/own.ts';

/** A public key that a person introduced, as an `ssh-ed25519 AAAA…` line. */
export interface KnownKey {
  readonly key: string;
  readonly fingerprint: string;
  readonly entry: string;
  /** The entry that ended the key. */
  readonly ended?: string;
}

/** A new person who says that they are somebody the build knows, after a lost key for which nobody could vouch. */
export interface Followed {
  readonly person: string;
  readonly entry: string;
  /** Who signed for the new person's key; empty where nobody was left who could. */
  readonly introducers: readonly string[];
}

/** One part of one batch, weighed out of a lot. */
export interface Draw {
  readonly entry: string;
  /** As typed, or as last corrected, with its unit. */
  readonly weight: string;
}

/** The whole build, folded from all its entries. */
export interface BuildState {
  /** Hash of the build's first line; '' before there is one. */
  readonly build: string;
  readonly scripted: boolean;
  readonly file: BuildFile;
  /** SHA-256 of the build.yaml in force; '' before the first one was taken in. */
  readonly fileSha256: string;
  /** What the procedures folder held when it was last taken in; the plan of the build is made of it. */
  readonly pages: readonly PlannedPage[];
  readonly names: Readonly<Record<string, string>>;
  readonly keys: Readonly<Record<string, readonly KnownKey[]>>;
  /** Keys that can sign nothing but one replacement of a lost key of that person. */
  readonly recovery: Readonly<Record<string, readonly KnownKey[]>>;
  /** Who follows whom, by the id of the new person. */
  readonly following: Readonly<Record<string, Followed>>;
  /** The inspector and designer powers that each person has signed for. */
  readonly accepted: Readonly<Record<string, readonly Power[]>>;
  readonly jobs: Jobs;
  /** Ids of the jobs, in the order in which they were started. */
  readonly jobOrder: readonly string[];
  /** Typed temperatures by place ('' is the unnamed place), each list by time. */
  readonly temperatures: Readonly<Record<string, readonly TemperatureMark[]>>;
  /** Imports by place, each list in the order of entry. */
  readonly logs: Readonly<Record<string, readonly LogMark[]>>;
  readonly found: Readonly<Record<string, ToolNow['found']>>;
  /** Stock in quarantine, since when and why, by its line; see `stock.ts`. */
  readonly quarantines: Readonly<Record<string, Quarantine>>;
  /** What corrections struck of temperatures and of what was found on tools, in the order of the corrections. */
  readonly struck: readonly Struck[];
  /** What was weighed out of each lot, by `MATERIAL NUMBER`. */
  readonly draws: Readonly<Record<string, readonly Draw[]>>;
  /** How many batches and how many tags each writer has numbered; see `numbers.ts`. */
  readonly batches: Readonly<Record<string, number>>;
  readonly tags: Readonly<Record<string, number>>;
  /** How many entries the build has. */
  readonly entries: number;
  /** When the last entry was written, ms since 1970. */
  readonly lastAt: number;
  /** When each writer's own last entry was written, ms since 1970. The clocks of two machines may differ. */
  readonly written: Readonly<Record<string, number>>;
  /** Hash of the newest line of each writer, which the next line may name as seen. */
  readonly heads: Readonly<Record<string, string>>;
  /** All contradictions in the order of the journal, settled or not. */
  readonly contradictions: readonly Contradiction[];
  /** How often a person entered the true time after a doubt about the clock. */
  readonly clockRun: number;
  /** When the true time was last entered, ms since 1970; 0 where it never was. */
  readonly clockSince: number;
  /** Why rules on time refuse until the true time is entered. */
  readonly clockTrouble?: Stamp & { readonly why: string };
}

export const emptyBuild: BuildState = {
  build: '',
  scripted: false,
  file: emptyFile,
  fileSha256: '',
  pages: [],
  names: {},
  keys: {},
  recovery: {},
  following: {},
  accepted: {},
  jobs: noJobs,
  jobOrder: [],
  temperatures: {},
  logs: {},
  found: {},
  quarantines: {},
  struck: [],
  draws: {},
  batches: {},
  tags: {},
  entries: 0,
  lastAt: 0,
  written: {},
  heads: {},
  contradictions: [],
  clockRun: 0,
  clockSince: 0,
};

/** The powers that a person has now. Inspector and designer count only once that person has signed for them. */
export const powersOf = (state: BuildState, person: string): readonly Power[] => {
  const line = state.file.people.find((one) => one.person === person);
  const accepted = own(state.accepted, person) ?? [];
  return (line?.powers ?? []).filter(
    (power) => (power !== 'inspector' && power !== 'designer') || accepted.includes(power),
  );
};

/** Powers that build.yaml gives to a person who has not signed for them yet. */
export const powersOwed = (state: BuildState, person: string): readonly Power[] => {
  const line = state.file.people.find((one) => one.person === person);
  const has = powersOf(state, person);
  return (line?.powers ?? []).filter((power) => !has.includes(power));
};

/** Everybody the build knows: listed in build.yaml, or with a key. */
export const peopleOf = (state: BuildState): readonly string[] => [
  ...new Set([...state.file.people.map((one) => one.person), ...Object.keys(state.keys)]),
];

export const nameOf = (state: BuildState, person: string): string | undefined =>
  state.file.people.find((one) => one.person === person)?.name ?? own(state.names, person);

export const jobOf = (state: BuildState, id: string): JobState | undefined => jobIn(state.jobs, id);

/** The contradictions that nobody has settled yet: of one job, or of the whole build. */
export const openContradictions = (state: BuildState, job?: string): readonly Contradiction[] =>
  state.contradictions.filter((one) => !one.settled && (job === undefined || one.job === job));

/** All jobs, in the order in which they were started. */
export const jobsOf = (state: BuildState): readonly JobState[] =>
  state.jobOrder.flatMap((id) => jobOf(state, id) ?? []);

const placesIn = memoised((order: readonly string[]) => new Map(order.map((id, index) => [id, index])));

/** The jobs that have a trait, in the order in which they were started. Reads no other job. */
export const jobsWith = memoisedBy((state: BuildState, trait: Trait): readonly JobState[] => {
  const places = placesIn(state.jobOrder);
  const placeOf = (id: string): number => places.get(id) ?? 0;
  return idsWith(state.jobs, trait, state.file)
    .toSorted((a, b) => placeOf(a) - placeOf(b))
    .flatMap((id) => jobOf(state, id) ?? []);
});

/** The jobs of a procedure, in the order in which they were started. A job's id begins with its procedure, so no other job is read. */
export const jobsOfProcedure = (state: BuildState, procedure: string): readonly JobState[] =>
  state.jobOrder
    .filter((id) => id.startsWith(`${procedure}-`))
    .flatMap((id) => jobOf(state, id) ?? [])
    .filter((job) => job.procedure === procedure);

/** The table with one more value, or with another value under a key that it has. */
export const withValue = <T>(
  record: Readonly<Record<string, T>>,
  key: string,
  value: T,
): Readonly<Record<string, T>> => ({
  ...record,
  [key]: value,
});
