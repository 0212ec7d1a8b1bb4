import { evolveBuild } from '../../aircraft/evolve.ts';
import { introductionFlaw } from '../../aircraft/introductions.ts';
import { coSigningKey, signingKey, type Knew } from '../../aircraft/keys.ts';
import { knowledgeOf, upTo, type Knowledge } from '../../aircraft/order.ts';
import type { Library } from '../../aircraft/library.ts';
import { emptyBuild, type BuildState } from '../../aircraft/state.ts';
import { err, ok, wrong, type Fault, type Outcome } from '../../fault/fault.ts';
import type { Data, Entry, RawEntry } from '../../job/entry.ts';
import { readEntry } from '../../job/parse.ts';
import { canonicalJson } from '../../proof/canonical.ts';
import type { Link } from '../../proof/chain.ts';
import { checkAlso, checkLine, entryId, type JournalLine } from '../../proof/line.ts';
import { linePlace } from '../../store/layout.ts';
import type { Progress } from '../place.ts';
import type { PublicKeyReader } from './public-keys.ts';
import { unsignedAnswerFault } from './second-signature.ts';

/** A journal line as an entry whose data are not parsed yet. */
export const entryOfLink = ({ line, hash }: Link): RawEntry => ({
  id: entryId(line),
  hash,
  at: line.at,
  ...(line.when === undefined ? {} : { when: line.when }),
  by: line.by,
  job: line.job,
  type: line.type,
  data: line.data as Data,
  also: line.also?.map(({ by }) => by) ?? [],
  key: line.key,
  ...(line.also === undefined ? {} : { alsoKeys: line.also.map(({ key }) => key) }),
  seen: line.seen,
});

const foreign = (line: JournalLine, by: string, what: string): Outcome<never> =>
  err(
    wrong(
      'key-unknown',
      `${by} ${what}`,
      'Look at who wrote this line; a key is introduced by its own entry, before it signs anything else',
      linePlace(line),
    ),
  );

/**
 * Checks a line's own signature, its co-signatures and any answer that it carries, with the keys that the journal has introduced
 * up to here.
 * @param isGood every signature was verified with the key that it names; whether that key may sign here is still checked.
 * @param knew which entries the writer of the line knew; without it, all that come before.
 */
export const checkSignatures = (
  state: BuildState,
  line: JournalLine,
  read: PublicKeyReader,
  isGood = false,
  knew?: Knew,
): Outcome<true> => {
  const flaw = introductionFlaw(state, line, knew);
  if (flaw !== undefined) return foreign(line, line.by, flaw);
  const text = signingKey(state, line, knew);
  if (text === undefined)
    return foreign(line, line.by, `signs with ${line.key}, a key that the build does not know here`);
  const key = read(text);
  if (!key.ok) return key;
  const first = isGood && line.key === key.value.fingerprint ? ok(true) : checkLine(line, key.value);
  if (!first.ok) return first;
  for (const also of line.also ?? []) {
    const known = coSigningKey(state, line, also, knew);
    if (known === undefined)
      return foreign(line, also.by, `signs too, with ${also.key}, a key that the build does not know here`);
    const second = read(known);
    if (!second.ok) return second;
    const checked = isGood ? ok(true) : checkAlso(line, also, second.value);
    if (!checked.ok) return checked;
  }
  const carried = unsignedAnswerFault(state, line, read);
  return carried === undefined ? ok(true) : err(carried);
};

export interface Folded {
  readonly state: BuildState;
  /** How many of the links `state` includes. */
  readonly taken: number;
  /** What ended the fold: a signature, an unknown type, a missing text. */
  readonly fault?: Fault;
}

export interface FoldOptions {
  /** What the writers of these lines knew of each other; without it, each is taken to have known all lines before. */
  readonly story?: Story;
  readonly library: Library;
  readonly read: PublicKeyReader;
  /** True for a line whose signatures this machine has verified before. */
  readonly checked?: (link: Link) => boolean;
  /** True for a line whose signatures were verified with the keys that they name; asked once for each line, in turn. See `verifyAhead`. */
  readonly isGood?: ((link: Link) => boolean) | undefined;
  /** Called with the state before each line, for callers that check more than the fold does. */
  readonly before?: (state: BuildState, link: Link, entry: Entry) => void;
  /** Hears of the lines that `fold` has gone through. */
  readonly progress?: Progress | undefined;
}

const atLine = (fault: Fault, { line }: Link): Fault => ({
  ...fault,
  where: fault.where ?? linePlace(line),
});

/** What each writer knew of the others' lines. */
export interface Story {
  readonly knew: Knowledge;
  /** The build before a line, as its writer knew it. */
  readonly behind: (link: Link) => BuildState;
}

/**
 * Works out what writers knew, each time only when it is asked for.
 * @param links in their causal order.
 */
export const storyOf = (links: readonly Link[], { library, read }: Pick<FoldOptions, 'library' | 'read'>): Story => {
  let last: { readonly link: Link; readonly state: BuildState } | undefined;
  const foldBehind = (link: Link): BuildState => {
    const known = upTo(links, link.hash).filter((one) => one !== link);
    return fold(known, { library, read, checked: () => true }).state;
  };
  /** Where a writer wrote two lines without reading others in between, the build is the one before the first line, and that line. */
  const goOn = (link: Link): BuildState | undefined => {
    if (last === undefined || link.line.prev !== last.link.hash) return undefined;
    if (canonicalJson(link.line.seen) !== canonicalJson(last.link.line.seen)) return undefined;
    const entry = readEntry(entryOfLink(last.link));
    const next = entry.ok ? evolveBuild(last.state, entry.value, library) : entry;
    return next.ok ? next.value : undefined;
  };
  const behind = (link: Link): BuildState => {
    const state = goOn(link) ?? foldBehind(link);
    last = { link, state };
    return state;
  };
  return { knew: knowledgeOf(links), behind };
};

/**
 * Whether a line's signatures can be believed: with the build as it is at that place, or as its writer knew it. What others wrote
 * at the same time may have given a key to somebody else, or undone what somebody settled. The rules report that; it is not
 * damage.
 */
const checkBelieved = (state: BuildState, link: Link, options: FoldOptions): Outcome<true> => {
  const { story, read } = options;
  const isGood = options.isGood?.(link) === true;
  const knew = story && ((entry: string): boolean => story.knew(link, entry));
  const here = checkSignatures(state, link.line, read, isGood, knew);
  if (here.ok || story === undefined) return here;
  return checkSignatures(story.behind(link), link.line, read, isGood).ok ? ok(true) : here;
};

/** Folds one line: verifies its signatures and applies its entry. */
export const foldOne = (state: BuildState, link: Link, options: FoldOptions): Outcome<BuildState> => {
  const signatures = options.checked?.(link) === true ? ok(true) : checkBelieved(state, link, options);
  if (!signatures.ok) return err(atLine(signatures.fault, link));
  const entry = readEntry(entryOfLink(link));
  if (!entry.ok) return err(atLine(entry.fault, link));
  options.before?.(state, link, entry.value);
  const next = evolveBuild(state, entry.value, options.library);
  return next.ok ? next : err(atLine(next.fault, link));
};

/** The build from all its lines, in their causal order. Stops at the first line that cannot be believed or read. */
export const fold = (links: readonly Link[], options: FoldOptions): Folded => {
  let state = emptyBuild;
  const known = { story: storyOf(links, options), ...options };
  const { progress } = options;
  let fault: Fault | undefined;
  let taken = 0;
  for (const link of links) {
    const next = foldOne(state, link, known);
    if (!next.ok) {
      ({ fault } = next);
      break;
    }
    state = next.value;
    taken += 1;
    progress?.(taken, links.length);
  }
  if (fault === undefined) return { state, taken };
  progress?.(links.length, links.length);
  return { state, taken, fault };
};
