import type { BuildState } from '../aircraft/state.ts';
import type { Fault } from '../fault/fault.ts';
import type { Procedure } from '../procedure/model.ts';
import type { Intent, Done } from '../workshop/intent.ts';

export type { Intent as Act, Done };

/** Passphrases for one act, by person. The bench keeps none. */
export type Secrets = Readonly<Record<string, string>>;

export type Reply =
  | { readonly kind: 'done'; readonly done: Done }
  | { readonly kind: 'fault'; readonly fault: Fault }
  /** Somebody's key is locked: their passphrase is wanted, or the one given was wrong. */
  | { readonly kind: 'locked'; readonly person: string; readonly wrong: boolean };

/** A procedure file of the folder, or why it cannot be started. */
export interface Startable {
  readonly id: string;
  readonly title: string;
  readonly procedure?: Procedure;
  /** Of its exact text. */
  readonly sha256?: string;
  readonly fault?: Fault;
}

export interface NewcomerForm {
  readonly person: string;
  readonly name: string;
  /** Empty: the key has none. */
  readonly passphrase: string;
}

/** All that the bench asks of the rest of the program. Nothing here waits: an answer that has come is durable. */
export interface BenchPort {
  readonly build: () => BuildState;
  /** `by` is who is signed on: their key, once opened, may stay open; anybody else's is opened for this one act. */
  readonly submit: (act: Intent, secrets: Secrets, by: string | undefined) => Reply;
  /** The first person of a new build, with a new key. */
  readonly introduce: (newcomer: NewcomerForm) => Reply;
  /** The procedures that can be started here, read anew each time. */
  readonly procedures: () => readonly Startable[];
  /** Those of them that answer a bulletin, read anew each time; what answers none is not even parsed. */
  readonly answering: () => readonly Procedure[];
  /** Who has a private key on this machine. */
  readonly keys: () => readonly string[];
  /** Kept for this person on this machine: theme and view. */
  readonly keep: (setting: 'theme' | 'view', value: string) => void;
}

/** The time, as the caller of the bench knows it: milliseconds since 1970 and minutes east of UTC. */
export interface Now {
  readonly ms: number;
  readonly offset: number;
}

/** What the bench may look at when it decides what to show. */
export interface BenchFacts {
  readonly build: BuildState;
  readonly procedures: readonly Startable[];
  readonly answering: readonly Procedure[];
  readonly keys: readonly string[];
  readonly now: Now;
  /** Who is signed on: rules ask who acts. */
  readonly by?: string;
}
