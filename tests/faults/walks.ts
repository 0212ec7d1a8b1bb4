import { jobOf, type BuildState } from '../../src/aircraft/state.ts';
import { refusalCodes } from '../../src/fault/codes.ts';
import type { Campaign } from './campaign.ts';
import { chooser } from './walks/chooser.ts';
import { foldLaw } from './walks/folds.ts';
import { lawsOn } from './walks/laws.ts';
import { enterInBook, newBook } from './walks/ledger.ts';
import { buildPages } from './walks/pages.ts';
import { recordLaw, type Recorded } from './walks/records.ts';
import { count, counted, newTallies, type Tallies } from './walks/tallies.ts';
import { readPages, type ReadPages } from './walks/walk-build.ts';
import { walk } from './walks/walk.ts';

/** How many sets of pages are read; every walk uses one of them. */
const sets = 60;

/** One build, with every law asked of every line. */
export const lawfulWalk = (pages: ReadPages, seed: number, tallies: Tallies): void => {
  const book = newBook(pages.file.plan);
  const tools = (pages.file.tools ?? []).map((one) => ({
    tool: one.tool,
    until: one['in-date-until'] ?? '1970-01-01',
  }));
  const records: Recorded[] = [];
  const luck = chooser(seed + 0.5);
  let snapshot: { readonly state: BuildState; readonly at: number } | undefined;
  const say = (broken: readonly string[]): void => {
    for (const one of broken) tallies.broken.push(`walk ${seed}: ${one}`);
  };
  const build = walk(pages, seed, tallies, ({ entry, build: now, before }) => {
    const job = jobOf(before, entry.job);
    say(lawsOn(book, book.jobs.get(entry.job), entry, { laidAside: job?.laidAside ?? [], tools }, tallies));
    enterInBook(book, entry, now);
    count(tallies, `said: ${entry.type}`);
    if (entry.type === 'complete') {
      const { recorded, broken } = recordLaw(now.state(), entry, now.entries());
      if (recorded) records.push(recorded);
      say(broken);
      count(tallies, 'completions');
    }
    if (snapshot === undefined || luck.maybe(0.02)) snapshot = { state: now.state(), at: now.entries().length };
  });
  if (snapshot) say(foldLaw(build, snapshot.state, snapshot.at, records));
};

/**
 * Codes that no walk of one machine meets: a folder that somebody else writes, a page that is not started at all, and a conflict between
 * machines, for which `tests/aircraft/machines.test.ts` walks three of them.
 */
const elsewhere: readonly string[] = ['read-only', 'procedure-faulty', 'contradiction'];

/** What walks of some length must have met, by the number of completions. */
const unmet = (tallies: Tallies, completions: number): readonly string[] => {
  const least: Readonly<Record<string, number>> = {
    completions,
    'holds passed': completions * 2,
    'witness points passed': completions / 20,
    'gates passed': completions / 20,
    twins: completions / 20,
    'permanent steps': completions / 10,
    'said: tighten': completions / 10,
    'said: correct': completions / 10,
    'said: undo': completions / 20,
    'said: move': completions / 100,
    'cures worked out by hand': completions / 50,
  };
  return Object.entries(least)
    .filter(([name, wanted]) => counted(tallies, name) < wanted)
    .map(
      ([name, wanted]) => `the walks reached ${counted(tallies, name)} ${name}, and ${Math.ceil(wanted)} are wanted`,
    );
};

const reached = (tallies: Tallies): string =>
  [
    'holds passed',
    'completions',
    'gates passed',
    'twins',
    'permanent steps',
    'witness points passed',
    'cures worked out by hand',
    'holds released remotely',
    'finishes that next foresaw',
    'refused ahead',
    'free ahead',
  ]
    .map((name) => `${counted(tallies, name)} ${name}`)
    .join(', ');

export const walks: Campaign = ({ every, many }) => {
  const wanted = Math.max(1, Math.floor(many / every));
  const tallies = newTallies();
  const pages = Array.from({ length: Math.min(sets, Math.max(12, Math.ceil(wanted / 4))) }, (_, index) =>
    readPages(buildPages(chooser(index + 1))),
  );
  const isDeep = (): boolean => unmet(tallies, wanted).length === 0;
  for (let seed = 1; seed <= wanted * 4 && !isDeep(); seed += 1)
    lawfulWalk(pages[seed % pages.length] as ReadPages, seed, tallies);
  const codes = [...tallies.refusals.keys()];
  const neverMet = refusalCodes.filter((code) => !codes.includes(code) && !elsewhere.includes(code));
  return {
    what: `random walks through ${counted(tallies, 'builds')} builds, ${counted(tallies, 'commands')} commands: ${reached(tallies)}, ${codes.length} codes of refusal`,
    law: 'the rules of section 6 hold, worked out by hand; every entry decides to itself again; what is free of refusals ahead is refused afterwards only for what was still to be answered; a fold from any snapshot is the same; every record verifies and says what the journal says',
    count: counted(tallies, 'entries'),
    broken: [
      ...tallies.broken,
      ...unmet(tallies, wanted),
      ...(wanted < 1000 ? [] : neverMet.map((code) => `no walk met the refusal ${code}`)),
    ],
  };
};
