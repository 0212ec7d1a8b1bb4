import { evolveBuild } from '../build/evolve.ts';
import { keyInForce } from '../build/keys.ts';
import type { Library } from '../build/library.ts';
import { emptyBuild, powersOf, type BuildState } from '../build/state.ts';
import { bad, good, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import type { Data, Entry } from '../job/entry.ts';
import type { Link } from '../proof/chain.ts';
import { readKeyLine, type PublicKey } from '../proof/keys.ts';
import { checkAlso, checkLine, type JournalLine } from '../proof/line.ts';
import { own } from '../fault/own.ts';

/** A journal line as the engine sees it. */
export const entryOf = ({ line, hash }: Link): Entry => ({
  id: `${line.writer}:${line.seq}`,
  hash,
  at: line.at,
  ...(line.when === undefined ? {} : { when: line.when }),
  by: line.by,
  job: line.job,
  type: line.type,
  data: line.data as Data,
  also: line.also?.map(({ by }) => by) ?? [],
  seen: line.seen,
});

/** Keys read from their text once: a build has few, its journal names them thousands of times. */
export type KeyReader = (text: string) => Outcome<PublicKey>;

export const keyReader = (): KeyReader => {
  const read = new Map<string, Outcome<PublicKey>>();
  return (text) => {
    const known = read.get(text) ?? readKeyLine(text);
    read.set(text, known);
    return known;
  };
};

const foreign = (line: JournalLine, by: string, what: string): Outcome<never> =>
  bad(
    wrong(
      'key-unknown',
      `${by} ${what}`,
      'Look at who wrote this line; a key is introduced by its own entry, before it signs anything else',
      `journal/${line.writer}.jsonl:${line.seq}`,
    ),
  );

const knownKey = (state: BuildState, person: string, fingerprint: string): string | undefined =>
  keyInForce(state, person, fingerprint)?.key;

/** The key that a line must be signed with: for a key that introduces itself, that key; else one that is known. */
const keyOfLine = (state: BuildState, line: JournalLine): string | undefined => {
  const introduced = line.data['key'];
  return line.type === 'key' && typeof introduced === 'string' ? introduced : knownKey(state, line.by, line.key);
};

/**
 * The first key of a build stands alone; a later one needs an introducer, unless the build knows it already. A further key of
 * somebody who may inspect or accept is signed for with their old one, or by another inspector: nobody else may hand it out.
 */
const introductionFlaw = (state: BuildState, line: JournalLine): string | undefined => {
  if (line.type !== 'key') return undefined;
  if (line.data['person'] !== line.by) return 'introduces a key for somebody else';
  if (state.entries === 0 || knownKey(state, line.by, line.key) !== undefined) return undefined;
  const introducers = (line.also ?? []).map(({ by }) => by);
  if (introducers.length === 0) return 'introduces a key that nobody known has signed for';
  const isTrusted = (own(state.accepted, line.by) ?? []).length > 0;
  const vouches = (person: string): boolean => person === line.by || powersOf(state, person).includes('inspector');
  return isTrusted && !introducers.some(vouches)
    ? 'introduces a further key that neither their old one nor another inspector has signed for'
    : undefined;
};

/**
 * A line's own signature, and those of everybody who signed beside it, against the keys that the journal has up to here.
 * @param isGood every signature fits the key that it names; whether that key may sign here is still to be asked.
 */
export const checkSignatures = (
  state: BuildState,
  line: JournalLine,
  read: KeyReader,
  isGood = false,
): Outcome<true> => {
  const flaw = introductionFlaw(state, line);
  if (flaw !== undefined) return foreign(line, line.by, flaw);
  const text = keyOfLine(state, line);
  if (text === undefined)
    return foreign(line, line.by, `signs with ${line.key}, a key that the build does not know here`);
  const key = read(text);
  if (!key.ok) return key;
  const own = isGood && line.key === key.value.fingerprint ? good(true) : checkLine(line, key.value);
  if (!own.ok) return own;
  for (const also of line.also ?? []) {
    const known = knownKey(state, also.by, also.key);
    if (known === undefined)
      return foreign(line, also.by, `signs too, with ${also.key}, a key that the build does not know here`);
    const second = read(known);
    if (!second.ok) return second;
    const checked = isGood ? good(true) : checkAlso(line, also, second.value);
    if (!checked.ok) return checked;
  }
  return good(true);
};

export interface Folded {
  readonly state: BuildState;
  /** How many of the links stand in `state`. */
  readonly taken: number;
  /** What stopped it: a signature, a type that is not known, a text that is missing. */
  readonly fault?: Fault;
}

export interface FoldOptions {
  readonly library: Library;
  readonly read: KeyReader;
  /** True for a line whose signatures this machine has checked before. */
  readonly checked?: (link: Link) => boolean;
  /** Lines whose signatures are good by the keys that they name; see `goodAhead`. */
  readonly good?: ReadonlySet<Link> | undefined;
  /** Called with the state before each line, for whoever looks at more than the fold does. */
  readonly before?: (state: BuildState, link: Link, entry: Entry) => void;
}

const atLine = (fault: Fault, { line }: Link): Fault => ({
  ...fault,
  where: fault.where ?? `journal/${line.writer}.jsonl:${line.seq}`,
});

/** One line more: its signatures checked, its entry applied. */
export const foldOne = (state: BuildState, link: Link, options: FoldOptions): Outcome<BuildState> => {
  const isGood = options.good?.has(link) === true;
  const isChecked = options.checked?.(link) === true;
  const signatures = isChecked ? good(true) : checkSignatures(state, link.line, options.read, isGood);
  if (!signatures.ok) return bad(atLine(signatures.fault, link));
  const entry = entryOf(link);
  options.before?.(state, link, entry);
  const next = evolveBuild(state, entry, options.library);
  return next.ok ? next : bad(atLine(next.fault, link));
};

/** The build from all its lines, in their causal order. Stops at the first line that cannot be believed or understood. */
export const fold = (links: readonly Link[], options: FoldOptions): Folded => {
  let state = emptyBuild;
  for (const [taken, link] of links.entries()) {
    const next = foldOne(state, link, options);
    if (!next.ok) return { state, taken, fault: next.fault };
    state = next.value;
  }
  return { state, taken: links.length };
};
