import { isConcurrent, refusedHere } from '../../aircraft/concurrent.ts';
import { decideCommand } from '../../aircraft/decide.ts';
import { inCausalOrder, upTo } from '../../aircraft/order.ts';
import { jobOf, emptyBuild, jobsOf, type BuildState } from '../../aircraft/state.ts';
import { contradictionText } from '../../job/contradiction.ts';
import type { Entry } from '../../job/entry.ts';
import { commandOfEntry } from '../../job/parse.ts';
import { isVerb, isLookVerb, type LookVerb } from '../../job/verbs.ts';
import { isOver } from '../../job/where.ts';
import type { Link } from '../../proof/chain.ts';
import { foundWrong, foundOpen, noted, passed, type Observation } from '../../record/observe.ts';
import { readJournal, type JournalRead } from '../../store/journal-read.ts';
import { journalStrays } from '../../store/journal-copies.ts';
import { entryPlace, linePlace } from '../../store/layout.ts';
import { strayFolders } from '../../store/stray-folders.ts';
import { checkAnswer } from '../answers.ts';
import { fold, foldOne, storyOf, type FoldOptions } from '../journal/fold.ts';
import { publicKeyReader } from '../journal/public-keys.ts';
import { textLibrary } from '../journal/library.ts';
import { coverageObservations, coverageOf, type Cover } from './coverage.ts';
import type { Verification } from './verification.ts';
import type { Workplace } from '../place.ts';
import { verifyAhead } from '../journal/signature-threads.ts';
import { sameData } from '../../proof/canonical.ts';
import { verifyFiles } from './verify-files.ts';
import { doubtObservations, memoryObservations } from './verify-memory.ts';
import { missingRecords } from './verify-owed.ts';
import { recordsFound, verifyRecords } from './verify-records.ts';
import { wholeObservations } from './verify-whole.ts';

const placeOf = ({ line }: Link): string => linePlace(line);

/** Reports how far the chain of each writer's file is unbroken, and what follows it. */
const verifyChains = ({ place, observations }: Verification, journal: JournalRead): void => {
  for (const { file, links, torn, fault: flaw } of journal.files) {
    const whole = `${links.length} ${links.length === 1 ? 'line' : 'lines'}, canonical, chained`;
    observations.push(flaw ? noted(`${whole}, up to here`, `${file}:${links.length}`) : passed(whole, file));
    if (flaw) observations.push(foundWrong(flaw.what, flaw.where ?? file));
    if (torn)
      observations.push(
        foundOpen(
          'torn',
          'this line is not whole: the power went while it was written, or the file was copied only in part',
          `${file}:${links.length + 1}`,
        ),
      );
  }
  const told = journal.files.some((file) => file.fault === journal.damage);
  if (journal.damage && !told) observations.push(foundWrong(journal.damage.what, journal.damage.where ?? 'journal'));
  for (const { name, what, todo, holdsMore } of journalStrays(place.disk, place.state, journal.unread))
    observations.push((holdsMore ? foundWrong : noted)(`${what}; ${todo}`, name));
};

/** Reports links in place of the state's folders: what is read through them would not be the state's own. */
const verifyFolders = ({ place, observations }: Verification): void => {
  const found = strayFolders(place.disk, place.state);
  for (const { what, where } of found.ok ? found.value : [found.fault])
    observations.push(foundWrong(what, where ?? 'state'));
};

/** Reports lines that rest on a line that is not here: a journal file has not arrived yet, or was cut short. */
const verifySeen = ({ observations }: Verification, links: readonly Link[]): void => {
  const here = new Set(links.map(({ hash }) => hash));
  for (const link of links)
    for (const [writer, hash] of Object.entries(link.line.seen))
      if (!here.has(hash))
        observations.push(foundWrong(`rests on a line of ${writer} that is not here`, placeOf(link)));
};

/**
 * Reports writers who know less of another writer than they did one line earlier. The other's journal file was taken away in
 * between, or replaced by an older one.
 */
const verifyMemory = ({ observations }: Verification, journal: JournalRead): void => {
  const seqs = new Map(journal.files.flatMap(({ links }) => links.map(({ hash, line }) => [hash, line.seq] as const)));
  for (const { links } of journal.files)
    for (const [index, link] of links.entries())
      for (const [writer, hash] of Object.entries(links[index - 1]?.line.seen ?? {})) {
        const now = link.line.seen[writer];
        const isLess = now === undefined || (seqs.get(now) ?? Infinity) < (seqs.get(hash) ?? 0);
        if (isLess)
          observations.push(
            noted(`knows less of ${writer} than the line before it: its journal file was away`, placeOf(link)),
          );
      }
};

const isLook = (entry: Entry): entry is Extract<Entry, { readonly type: LookVerb }> => isLookVerb(entry.type);

/** Checks the signed answer that an answer to a hold carries, against the build at that place. */
const verifyAnswer = (
  verification: Verification,
  state: BuildState,
  link: Link,
  entry: Entry,
  meanwhile: boolean,
): void => {
  const job = jobOf(state, entry.job);
  if (!isLook(entry) || job === undefined) return;
  const say = (what: string): void => void verification.observations.push(foundWrong(what, placeOf(link)));
  const { answer: text, 'answer-sig': signature, step: asked, person: looker = entry.by } = entry.data;
  if (text === undefined || signature === undefined) return say(`${entry.type} has no signed answer`);
  const checked = checkAnswer(text, signature, { state, job, read: verification.read, meanwhile });
  if (!checked.ok) return say(checked.fault.what);
  const { answer, step, person } = checked.value.answer;
  for (const one of checked.value.told) verification.observations.push(noted(one, placeOf(link)));
  if (answer !== entry.type || step !== asked) say('the signed answer is another than the entry');
  if (person !== looker) say(`the answer is signed by ${person}`);
};

/** Decides every entry again at its place: the rules must accept it and give the same entry. */
const verifyRules = (verification: Verification, state: BuildState, link: Link, entry: Entry): void => {
  if (!isVerb(entry.type)) return;
  const say = (what: string): void => void verification.observations.push(foundWrong(what, placeOf(link)));
  const command = commandOfEntry(entry);
  const taken = command && decideCommand(state, command, verification.library);
  if (taken === undefined) return;
  const meanwhile = isConcurrent(state, entry);
  if (!taken.ok && meanwhile) return; // reported as a contradiction, with how it was settled
  if (!taken.ok) return say(`contradiction: the rules refuse it here, ${taken.fault.code}: ${taken.fault.what}`);
  const same = sameData(taken.value.data, entry.data);
  if (!same && meanwhile)
    verification.observations.push(
      noted('numbered as its writer knew the build; others wrote at the same time', placeOf(link)),
    );
  else if (!same) say('the rules give another entry here');
  const missing = taken.value.also.find((person) => !entry.also.includes(person));
  if (missing !== undefined) say(`${missing} had to sign it too`);
  if (!meanwhile || refusedHere(state, entry, verification.library) === undefined)
    verifyAnswer(verification, state, link, entry, meanwhile);
};

/** The build as the writer of a line knew it, without lines that others wrote at the same time and that come before it in causal order. */
const stateBehind = (
  verification: Verification,
  links: readonly Link[],
  index: number,
  state: BuildState,
): BuildState => {
  const known = upTo(links, links[index]?.hash ?? '');
  if (known.length === index + 1) return state;
  return fold(known, { library: verification.library, read: verification.read, checked: () => true }).state;
};

interface Walked {
  readonly state: BuildState;
  /** The builds that records are compared with, by the hash of their last line. */
  readonly statesAt: ReadonlyMap<string, BuildState>;
}

/**
 * Goes through every line in causal order: verifies its signatures, decides it again, and applies it. Ends at a line that cannot
 * be believed.
 */
const walk = (verification: Verification, links: readonly Link[], wanted: ReadonlySet<string>): Walked => {
  const statesAt = new Map<string, BuildState>();
  const ahead = verifyAhead(links, verification.read, verification.place.threads);
  const progress = verification.place.progress?.('entries');
  let state = emptyBuild;
  const story = storyOf(links, { library: verification.library, read: verification.read });
  for (const [index, link] of links.entries()) {
    let read: Entry | undefined;
    const before: FoldOptions['before'] = (_state, _link, entry) => (read = entry);
    const next = foldOne(state, link, {
      library: verification.library,
      read: verification.read,
      isGood: ahead?.isGood,
      story,
      before,
    });
    progress?.(next.ok ? index + 1 : links.length, links.length);
    if (!next.ok) {
      ahead?.end();
      verification.observations.push(foundWrong(next.fault.what, next.fault.where ?? placeOf(link)));
      verification.observations.push(
        noted(`${links.length - index - 1} lines after it were not looked at`, placeOf(link)),
      );
      return { state, statesAt };
    }
    if (read !== undefined) verifyRules(verification, state, link, read);
    state = next.value;
    if (wanted.has(link.hash)) statesAt.set(link.hash, stateBehind(verification, links, index, state));
  }
  ahead?.end();
  if (links.length > 0)
    verification.observations.push(
      passed(`${links.length} signatures good, by keys that the journal itself introduces`, 'journal'),
    );
  return { state, statesAt };
};

const reportJobs = ({ observations }: Verification, state: BuildState): void => {
  if (state.scripted)
    observations.push(noted('scripted: a rehearsal wrote this state, and it never becomes real', 'journal'));
  for (const job of jobsOf(state)) if (!isOver(job)) observations.push(noted('the job is under way', job.id));
};

/** Reports entries that contradict what was done elsewhere, whether or not they are settled. */
const reportContradictions = ({ observations }: Verification, state: BuildState): void => {
  for (const one of state.contradictions) {
    const { settled } = one;
    const where = entryPlace(one.entry.id);
    const said = contradictionText(one);
    observations.push(
      settled === undefined
        ? foundOpen('conflict', `conflict between machines, not settled: ${said}`, where)
        : noted(
            `conflict between machines, settled by ${settled.by}: the entry is ${settled.kept ? 'kept' : 'not kept'}: ${said}`,
            where,
          ),
    );
  }
};

/** What no folder can prove. It is reported so that nobody takes it as proved. */
const notProved: readonly Observation[] = [
  noted('not proved: whose hand held a key; a signature shows the key alone', 'journal'),
  noted(
    'not proved: that a clock was right; the lines show the order in which they were written, and what each clock said',
    'journal',
  ),
  noted(
    "not proved: that whoever holds a key did not rewrite what no second person's signature covers; a covering signature proves an entry while it is here, and as far as its key is theirs",
    'journal',
  ),
  noted(
    'not proved: that nothing was cut off the end, unless a record, another machine or the machine that wrote it remembers it',
    'journal',
  ),
];

/** Reports people who continue under a new key that nobody could vouch for. */
const followers = (state: BuildState): readonly Observation[] =>
  Object.entries(state.following).map(([person, { person: followed, entry, introducers }]) => {
    const who = introducers.length === 0 ? 'nobody else signed for it' : `${introducers.join(', ')} signed for it`;
    return noted(`not proved: that ${person} is ${followed}, whose key was lost; ${who}`, entryPlace(entry));
  });

export interface VerifiedState {
  readonly observations: readonly Observation[];
  readonly scripted: boolean;
  /** How many entries the journal has. */
  readonly entries: number;
  /** Which entries of each writer a second person's signature covers. */
  readonly coverage: readonly Cover[];
}

/**
 * Verifies a whole state: chains, signatures by the journal's own keys, rules, files named by their hashes, records. Changes
 * nothing. A `fault` among the observations means that the state cannot be trusted; a `notice` is what a kill may leave.
 */
export const verifyState = (place: Workplace): VerifiedState => {
  const verification: Verification = {
    place,
    library: textLibrary(place.disk, place.state),
    read: publicKeyReader(),
    observations: [],
  };
  const { observations } = verification;
  const journal = readJournal(place.disk, place.state, place.progress?.('journal'));
  if (!journal.ok)
    return {
      scripted: false,
      entries: 0,
      coverage: [],
      observations: [foundWrong(journal.fault.what, journal.fault.where ?? 'journal')],
    };
  verifyFolders(verification);
  verifyChains(verification, journal.value);
  const links = inCausalOrder(journal.value.files.map((file) => file.links));
  observations.push(...wholeObservations(place));
  if (links.length === 0) observations.push(noted('not begun: the journal has no entry', 'journal'));
  verifySeen(verification, links);
  verifyMemory(verification, journal.value);
  const records = recordsFound(place);
  const { state, statesAt } = walk(verification, links, new Set(records.flatMap(({ head }) => head ?? [])));
  verifyFiles(verification, state, links);
  observations.push(...missingRecords(state, records, links));
  verifyRecords(verification, state, records, statesAt);
  // The lines after one that cannot be believed were not looked at.
  const coverage = coverageOf(state, links.slice(0, state.entries), records);
  observations.push(
    ...coverageObservations(coverage),
    ...memoryObservations(place, journal.value),
    ...doubtObservations(links),
  );
  if (links.length > 0) observations.push(...followers(state), ...notProved);
  reportContradictions(verification, state);
  reportJobs(verification, state);
  return { observations, scripted: state.scripted, entries: links.length, coverage };
};
