import type { Fault, Outcome } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { AskedOf, CommandOf, DataOf, DerivedOf, EntryOf, TakenOf } from '../../job/entry.ts';
import type { NotCorrected } from '../../job/acts/correctable.ts';
import type { LineType } from '../../job/line-types.ts';
import type { BuildVerb, Verb } from '../../job/verbs.ts';
import type { Instant } from '../../quantity/time.ts';
import { ok } from '../../fault/fault.ts';
import type { Library } from '../library.ts';
import type { BuildState } from '../state.ts';

/** One command, with what deciding it needs to know of the whole build. */
export interface BuildAsk<V extends Verb> {
  readonly state: BuildState;
  readonly command: CommandOf<V>;
  readonly data: AskedOf<V>;
  /** When it happened: the time that rules use. */
  readonly at: Instant;
  readonly library: Library;
}

/** What applying an entry may need besides the entry itself. */
export interface Folding {
  readonly library: Library;
  /** Applies another entry as if it had been applied at its own place in the journal. Settling a contradiction needs this. */
  readonly apply: (state: BuildState, entry: EntryOf<LineType>) => Outcome<BuildState>;
}

/**
 * How a journal line changes the whole build. A written line is never refused; the only faults are a text that is missing and a key that
 * cannot be read.
 */
export type Evolve<L extends LineType> = (
  state: BuildState,
  entry: EntryOf<L>,
  folding: Folding,
) => Outcome<BuildState>;

/** How the entries of a verb of the build are corrected. */
export interface BuildCorrectable {
  /** True where an entry of this verb, or what a word names, is known. */
  readonly has: (state: BuildState, target: string) => boolean;
  readonly decide: (ask: BuildAsk<'correct'>) => Outcome<TakenOf<'correct'>>;
  readonly evolve: (state: BuildState, entry: EntryOf<'correct'>) => BuildState;
}

/** Everything that the program knows about one verb of the build. */
export interface BuildAct<V extends BuildVerb> {
  readonly decide: (ask: BuildAsk<V>) => Outcome<TakenOf<V>>;
  readonly evolve: Evolve<V>;
  /** What was entered, in a few words, for the person who entered it; absent where nothing needs to be said. */
  readonly words: (data: DataOf<V>) => string | undefined;
  /** How its entries are corrected, or what to do instead. */
  readonly correct: BuildCorrectable | NotCorrected;
}

type Added<V extends Verb> = DerivedOf<V> & Partial<AskedOf<V>>;

/** The entry that a command becomes. @param added what the engine worked out for the entry. */
export const taken = <V extends Verb>(
  { command, data }: Pick<BuildAsk<V>, 'command' | 'data'>,
  added: Added<V>,
  told: readonly string[] = [],
): Outcome<TakenOf<V>> =>
  // `data` and `added` together are what the verb's entry holds. The compiler cannot combine the two types for a verb that it does not
  // know.
  ok({ type: command.verb, data: { ...data, ...added } as unknown as DataOf<V>, also: [], told });

export const unknownIn = (what: string, id: string, known: readonly string[]): Fault =>
  unknownId(`no ${what} '${id}'`, id, known);
