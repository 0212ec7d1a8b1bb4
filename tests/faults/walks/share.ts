import { jobOf, type BuildState } from '../../../src/aircraft/state.ts';
import { chooser } from './chooser.ts';
import { foldLaw } from './folds.ts';
import { lawsOn } from './laws.ts';
import { enterInBook, newBook } from './ledger.ts';
import { ownPages } from './own-pages.ts';
import { buildPages } from './pages.ts';
import { recordLaw, type Recorded } from './records.ts';
import { count, counted, newTallies, type Tallies } from './tallies.ts';
import { readPages, type ReadPages, type WalkBuild } from './walk-build.ts';
import { walk } from './walk.ts';

/** One build, with every law asked of every line. */
export const lawfulWalk = (pages: ReadPages, seed: number, tallies: Tallies): WalkBuild => {
  const book = newBook(pages.file);
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
  return build;
};

/** What walks of some length must have met, by the number of completions. */
export const unmet = (tallies: Tallies, completions: number): readonly string[] => {
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
    "builds of the project's own procedures": completions / 100,
  };
  return Object.entries(least)
    .filter(([name, wanted]) => counted(tallies, name) < wanted)
    .map(
      ([name, wanted]) => `the walks reached ${counted(tallies, name)} ${name}, and ${Math.ceil(wanted)} are wanted`,
    );
};

/** One part of all walks: every `of`th build from this one on, until that part is long enough. */
export interface Share {
  /** The folder of the project's own procedures. */
  readonly procedures: string;
  readonly index: number;
  readonly of: number;
  /** How many completions all parts together must reach. */
  readonly completions: number;
}

/** How many sets of pages there are, in short and in long walks. Both are prime, so that every share meets every set. */
const sets = { few: 13, many: 61 };
/** One set in this many is of the project's own procedures. */
const ownEvery = 6;

/** The pages of a walk, read when the first walk uses them. */
export const pagesOfWalk = ({ procedures, completions }: Share): ((seed: number) => ReadPages) => {
  const many = completions < 200 ? sets.few : sets.many;
  const known = new Map<number, ReadPages>();
  return (seed) => {
    const index = seed % many;
    const chosen = chooser(index + 1);
    const pages =
      known.get(index) ?? readPages(index % ownEvery === 1 ? ownPages(procedures, chosen) : buildPages(chosen));
    known.set(index, pages);
    return pages;
  };
};

export const isOwn = (pages: ReadPages): boolean => pages.file.stock?.length === 0;

export const walkShare = (share: Share): Tallies => {
  const { index, of, completions } = share;
  const tallies = newTallies();
  const pagesOf = pagesOfWalk(share);
  // What is rare is wanted of all shares together.
  const isDeep = (): boolean =>
    of === 1
      ? unmet(tallies, completions).length === 0
      : counted(tallies, 'completions') >= completions / of &&
        counted(tallies, 'holds passed') >= (completions * 2) / of;
  for (let seed = index + 1; seed <= completions * 4 && !isDeep(); seed += of) {
    const pages = pagesOf(seed);
    if (isOwn(pages)) count(tallies, "builds of the project's own procedures");
    lawfulWalk(pages, seed, tallies);
  }
  return tallies;
};
