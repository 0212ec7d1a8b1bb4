import type { BuildState } from '../aircraft/state.ts';
import type { Fault } from '../fault/fault.ts';
import type { Procedure } from '../procedure/model.ts';
import type { Verb } from '../job/verbs.ts';
import type { Intent, Done } from '../workshop/intent.ts';

export type { BenchAct as Act, Done };

/** Book-keeping of the build that the bench does: a change of build.yaml that is taken in at once, by the acts of the commands. */
const bookVerbs = ['take-in-tool', 'introduce-person'] as const;
export type BookVerb = (typeof bookVerbs)[number];

/** What somebody wants to enter: a verb of the engine, or book-keeping. */
interface BenchAct extends Omit<Intent, 'verb'> {
  readonly verb: Verb | BookVerb;
}

export const isBookVerb = (verb: string): verb is BookVerb => bookVerbs.some((one) => one === verb);

/** Passphrases for one act, by person. The bench keeps none. */
export type Secrets = Readonly<Record<string, string>>;

export type Reply =
  | { readonly kind: 'done'; readonly done: Done }
  | { readonly kind: 'fault'; readonly fault: Fault }
  /** Somebody's key is locked: their passphrase is needed, or the one given was wrong. */
  | { readonly kind: 'locked'; readonly person: string; readonly wrong: boolean };

/** A procedure file of the folder, or why it cannot be started. */
export interface Startable {
  readonly id: string;
  readonly title: string;
  readonly procedure?: Procedure;
  /** The hash of its exact text. */
  readonly sha256?: string;
  readonly fault?: Fault;
}

export interface NewcomerForm {
  readonly person: string;
  readonly name: string;
  /** Empty where the key has none. */
  readonly passphrase: string;
  /** The gates of the new build, in their order. */
  readonly gates: readonly string[];
}

/** All that the bench needs from the rest of the program. Every call answers at once, and what is answered as done is on the disk. */
export interface BenchPort {
  readonly build: () => BuildState;
  /** `by` is who is signed on. Their key may stay unlocked; anybody else's is unlocked for this one act only. */
  readonly submit: (act: BenchAct, secrets: Secrets, by: string | undefined) => Reply;
  /** The first person of a new build, with a new key. */
  readonly introduce: (newcomer: NewcomerForm) => Reply;
  /** The procedures in the folder, read anew each time. */
  readonly procedures: () => readonly Startable[];
  /** Those of them that answer a bulletin, read anew each time. Others are not even parsed. */
  readonly answering: () => readonly Procedure[];
  /** Who has a private key on this machine. */
  readonly keys: () => readonly string[];
  /** Saves a setting for this person on this machine. */
  readonly keep: (setting: 'theme' | 'view', value: string) => void;
}

/** The time: milliseconds since 1970, and minutes east of UTC. */
export interface Now {
  readonly ms: number;
  readonly offset: number;
}

/** Everything that decides what the bench shows. */
export interface BenchFacts {
  readonly build: BuildState;
  readonly procedures: readonly Startable[];
  readonly answering: readonly Procedure[];
  readonly keys: readonly string[];
  readonly now: Now;
  /** Who is signed on: rules ask who acts. */
  readonly by?: string;
}
