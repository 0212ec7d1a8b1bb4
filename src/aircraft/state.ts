import type { LogMark, Power, TemperatureMark, ToolNow } from '../job/surroundings.ts';
import type { JobState, Stamp } from '../job/state.ts';
import type { Contradiction } from '../job/contradiction.ts';
import { emptyFile, type BuildFile } from './file.ts';
import { jobIn, noJobs, type Jobs } from './jobs.ts';
import { own } from '../fault/own.ts';

/** A public key that a person introduced, as an `ssh-ed25519 AAAA…` line. */
export interface KnownKey {
  readonly key: string;
  readonly fingerprint: string;
  readonly entry: string;
  /** The entry that ended it. */
  readonly ended?: string;
}

/** Whom a new person says that they are, when the key of the old one was lost and nobody could vouch for it. */
export interface Followed {
  readonly person: string;
  readonly entry: string;
  /** Who signed for the new person's key; nobody, where nobody was left who could. */
  readonly introducers: readonly string[];
}

/** One part of one batch, weighed out of a lot. */
export interface Draw {
  readonly entry: string;
  /** As typed, or as last corrected. */
  readonly weight: string;
}

/** The whole build, folded from all its entries. */
export interface BuildState {
  /** Hash of the first line; '' before it. */
  readonly build: string;
  readonly scripted: boolean;
  readonly file: BuildFile;
  /** Of the build.yaml in force; '' before one was taken in. */
  readonly fileSha256: string;
  readonly names: Readonly<Record<string, string>>;
  readonly keys: Readonly<Record<string, readonly KnownKey[]>>;
  /** Keys that sign nothing but one replacement of a lost key of that person. */
  readonly recovery: Readonly<Record<string, readonly KnownKey[]>>;
  /** By the new person. */
  readonly following: Readonly<Record<string, Followed>>;
  /** Inspector and designer powers that the person signed for. */
  readonly accepted: Readonly<Record<string, readonly Power[]>>;
  readonly jobs: Jobs;
  /** In the order of their start. */
  readonly jobOrder: readonly string[];
  /** By place, '' the unnamed one; each list by time. */
  readonly temperatures: Readonly<Record<string, readonly TemperatureMark[]>>;
  /** Imports by place, each list in the order of entry. */
  readonly logs: Readonly<Record<string, readonly LogMark[]>>;
  readonly found: Readonly<Record<string, ToolNow['found']>>;
  /** What was weighed out of each lot, by `MATERIAL NUMBER`. */
  readonly draws: Readonly<Record<string, readonly Draw[]>>;
  /** How many each writer has numbered; see `numbers.ts`. */
  readonly batches: Readonly<Record<string, number>>;
  readonly tags: Readonly<Record<string, number>>;
  readonly entries: number;
  /** Written by the last entry, ms. */
  readonly lastAt: number;
  /** When each writer's own last entry was written, ms: the clocks of two machines may stand apart. */
  readonly written: Readonly<Record<string, number>>;
  /** The newest line of each writer, by hash: what the next one may have seen. */
  readonly heads: Readonly<Record<string, string>>;
  /** In their order, settled or not. */
  readonly contradictions: readonly Contradiction[];
  /** How often the true time was entered after trouble, and when last, ms. */
  readonly clockRun: number;
  readonly clockSince: number;
  /** Why rules on time refuse until the true time is entered. */
  readonly clockTrouble?: Stamp & { readonly why: string };
}

export const emptyBuild: BuildState = {
  build: '',
  scripted: false,
  file: emptyFile,
  fileSha256: '',
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

/** Powers in force: inspector and designer only once that person's own signature is there. */
export const powersOf = (state: BuildState, person: string): readonly Power[] => {
  const line = state.file.people.find((one) => one.person === person);
  const accepted = own(state.accepted, person) ?? [];
  return (line?.powers ?? []).filter(
    (power) => (power !== 'inspector' && power !== 'designer') || accepted.includes(power),
  );
};

/** Powers that build.yaml gives and the person has not signed for yet. */
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

/** What contradicts what was done elsewhere and is not settled: in one job, or in the whole build. */
export const openContradictions = (state: BuildState, job?: string): readonly Contradiction[] =>
  state.contradictions.filter((one) => !one.settled && (job === undefined || one.job === job));

/** Jobs by their start. */
export const jobsOf = (state: BuildState): readonly JobState[] =>
  state.jobOrder.flatMap((id) => jobOf(state, id) ?? []);

/** A table with one value more, or another in its place. */
export const withValue = <T>(
  record: Readonly<Record<string, T>>,
  key: string,
  value: T,
): Readonly<Record<string, T>> => ({
  ...record,
  [key]: value,
});
