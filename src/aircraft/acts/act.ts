import type { Fault, Outcome } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { AskedOf, CommandOf, DataOf, DerivedOf, EntryOf, TakenOf } from '../../job/entry.ts';
import type { LineType } from '../../job/line-types.ts';
import type { BuildVerb, Verb } from '../../job/verbs.ts';
import type { Instant } from '../../quantity/time.ts';
import { ok } from '../../fault/fault.ts';
import type { Library } from '../library.ts';
import type { BuildState } from '../state.ts';

/** One command put to the whole build. */
export interface BuildAsk<V extends Verb> {
  readonly state: BuildState;
  readonly command: CommandOf<V>;
  readonly data: AskedOf<V>;
  /** When it happened: the time that rules use. */
  readonly at: Instant;
  readonly library: Library;
}

/** What applying an entry may ask for. */
export interface Folding {
  readonly library: Library;
  /** Applies another entry, as it would have been at its own place. */
  readonly apply: (state: BuildState, entry: EntryOf<LineType>) => Outcome<BuildState>;
}

/** How a line of the whole build changes it. Never refuses; a fault is a text that is missing or a key that cannot be read. */
export type Evolve<L extends LineType> = (
  state: BuildState,
  entry: EntryOf<L>,
  folding: Folding,
) => Outcome<BuildState>;

/** All that the program knows of one verb of the build. */
export interface BuildAct<V extends BuildVerb> {
  readonly decide: (ask: BuildAsk<V>) => Outcome<TakenOf<V>>;
  readonly evolve: Evolve<V>;
  /** What was entered, in a few words, for the person who entered it. */
  readonly words: (data: DataOf<V>) => string | undefined;
}

type Added<V extends Verb> = DerivedOf<V> & Partial<AskedOf<V>>;

/** The entry that a command becomes. @param added what the engine worked out. */
export const taken = <V extends Verb>(
  { command, data }: Pick<BuildAsk<V>, 'command' | 'data'>,
  added: Added<V>,
  told: readonly string[] = [],
): Outcome<TakenOf<V>> =>
  // The two types together are what the verb's entry holds; the compiler cannot add them up for a verb that it does not know.
  ok({ type: command.verb, data: { ...data, ...added } as unknown as DataOf<V>, also: [], told });

export const unknownIn = (what: string, id: string, known: readonly string[]): Fault =>
  unknownId(`no ${what} '${id}'`, id, known);
