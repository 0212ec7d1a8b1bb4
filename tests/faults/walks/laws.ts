import { lawOfGates } from './gates-by-hand.ts';
import type { Entry, EntryOf } from '../../../src/job/entry.ts';
import type { Cure, QuantityReading, Step } from '../../../src/procedure/model.ts';
import { begunByHand, cureByHand, temperaturesByHand, type CurePage } from '../../support/cure-by-hand.ts';
import { isWithinMost, spreadByHand, verdictByHand } from '../../support/value-by-hand.ts';
import { inspectedBy, isRefused, stepNamed, stepWorked, type Book, type JobBook, type Value } from './ledger.ts';
import { people } from './pages.ts';
import { count, type Tallies } from './tallies.ts';

/*
 * The rules of section 6 of the design, said once more in few words and asked of every line before it is written into the book. Each law
 * is a necessary condition, worked out from what was entered and the pages alone.
 */

/** A temperature as a page writes it, in °C. */
const celsius = (text: string): number => Number(/^([\d.]+) °C$/.exec(text)?.[1]);

/** What a page says of a cure, for the evaluation by hand. */
const curePage = (cure: Cure): CurePage => ({
  floor: celsius(cure.floor.text),
  longest: cure.readingEvery?.ms ?? Infinity,
  stages: cure.stages.map(({ stage, points }) => ({
    stage,
    points: points.map(({ time, at }) => ({ at: celsius(at.text), takes: time.ms })),
  })),
});

const plain = (name: string): string => name.normalize('NFKD').replaceAll(/\p{M}/gu, '').trim().toLowerCase();

/** The id of whoever is meant by a name, or the name itself, without case or accents (rule 13). */
const whoIs = (typed: string): string =>
  people.find(({ person, name }) => [person, name ?? person].map(plain).includes(plain(typed)))?.person ?? plain(typed);

const performing = new Set(['begin', 'read', 'tighten', 'mix', 'break', 'photo', 'undo', 'finish']);

/** Rule 3: everybody who performed what a hold inspects. */
const performersByHand = (book: JobBook, hold: Step): ReadonlySet<string> => {
  const inspected = inspectedBy(book.plan, hold);
  const isOver = (entry: Entry): boolean =>
    performing.has(entry.type) && inspected.includes(stepWorked(book, entry) ?? '');
  const corrected = new Set(book.entries.flatMap((entry) => (entry.type === 'correct' ? [entry.data.entry] : [])));
  const names = book.entries.flatMap((entry): readonly string[] => {
    if (entry.type === 'answer') {
      const at = book.findings.get(entry.data.finding)?.hold;
      return at === hold.step ? [entry.by] : [];
    }
    const target = entry.type === 'correct' ? book.entries.find(({ id }) => id === entry.data.entry) : entry;
    if (!target || !isOver(target)) return [];
    // Whoever was named in a line that was corrected since may not have been there.
    const named = 'with' in entry.data && !corrected.has(entry.id) ? (entry.data.with ?? []) : [];
    return [entry.by, ...named];
  });
  return new Set(names.map(whoIs));
};

const lawOfLooks = (book: JobBook, entry: EntryOf<'release'>): readonly string[] => {
  const hold = stepNamed(book.plan, entry.data.step);
  if (!hold?.hold) return ['a release of what is no hold'];
  const own = performersByHand(book, hold).has(entry.by);
  const powers: readonly string[] = people.find(({ person }) => person === entry.by)?.powers ?? [];
  const may = hold.hold.kind === 'witness' ? ['witness', 'inspector', hold.hold.by] : [hold.hold.by];
  const isAllowed = powers.some((power) => may.includes(power)) || (own && hold.hold.self !== undefined);
  const open = [...book.findings.values()].filter((one) => one.hold === hold.step && !one.isClosed && !one.isAnswered);
  return [
    ...(isAllowed ? [] : [`${entry.by} released ${hold.step} without the power`]),
    ...(own && hold.hold.self === undefined ? [`${entry.by} released own work at ${hold.step}`] : []),
    ...(own && entry.data.self !== true ? [`${entry.by} looked again at ${hold.step}, shown as independent`] : []),
    ...(entry.data.remote === true && !hold.hold.remote ? [`${hold.step} was released from elsewhere`] : []),
    ...(open.length > 0 ? [`${hold.step} was released over a finding that nobody answered`] : []),
  ];
};

/** The latest value at each place of a reading, without those that count for nothing yet. */
const latest = (values: readonly Value[]): readonly Value[] => [
  ...new Map(
    values.filter(({ pending }) => !pending).map((one) => [`${one.position ?? ''} ${one.n ?? ''}`, one]),
  ).values(),
];

const isKnownForm = (limits: string): boolean => /^(at most [\d.]+|[\d.]+ ± [\d.]+) (mm|cm|in|°)$/.test(limits);

/** Readings decided plainly, whose limits the independent evaluation can read. */
const plainReadings = (step: Step): readonly QuantityReading[] =>
  step.readings.flatMap((one) =>
    one.kind === 'quantity' && !one.guarded && one.limits && isKnownForm(one.limits.text) ? [one] : [],
  );

/** An outside value never passes, but by a disposition that somebody accepted. */
const lawOfValues = (book: JobBook, step: Step): readonly string[] =>
  plainReadings(step).flatMap(({ reading, limits }) =>
    latest(book.values.get(reading) ?? [])
      .filter(({ value }) => verdictByHand(value, limits?.text ?? '') === 'outside')
      .filter(
        (one) =>
          !book.disposed.some(
            ({ data }) =>
              ['repair', 'use-as-is'].includes(data['as-what']) &&
              data.covers.some((key) => key.startsWith(`${one.entry}=`)),
          ),
      )
      .map(({ value }) => `${reading} ${value} is outside ${limits?.text ?? ''}, and nobody accepted it`),
  );

const lawOfTwins = (books: Book, book: JobBook, step: Step): readonly string[] =>
  step.readings.flatMap((reading) => {
    if (reading.kind !== 'quantity' || !reading.twin) return [];
    const side = (id: string): string => /-(left|right)-/.exec(id)?.[1] ?? '';
    const others = [...books.jobs.values()].filter(
      (one) =>
        one.plan.procedure === book.plan.procedure &&
        side(one.id) !== side(book.id) &&
        !one.entries.some(({ type }) => type === 'withdraw'),
    );
    const values = [book, ...others.slice(-1)].flatMap((one) =>
      latest(one.values.get(reading.reading) ?? []).slice(-1),
    );
    // Work on the other side that was taken apart may still be there: the book forgets more than it must.
    if (values.length < 2 || others.some(({ isReworked }) => isReworked)) return [];
    return isWithinMost(spreadByHand(values.map(({ value }) => value)), reading.twin.text)
      ? []
      : [`${reading.reading}: ${values.map(({ value }) => value).join(' and ')} are too far apart`];
  });

const isProved = (books: Book, feature: string): boolean =>
  [...books.jobs.values()].some(({ plan, done, perhaps }) =>
    plan.steps.some((step) => step.proves.includes(feature) && (done.has(step.step) || perhaps.has(step.step))),
  );

const hasDeparture = ({ entries }: JobBook, code: string): boolean =>
  entries.some((entry) => entry.type === 'depart' && entry.data.code === code);

/** The permanent steps to which a line commits: its own where it begins it, and those that are done with its glue wet. */
const committed = (book: JobBook, entry: Entry): readonly Step[] => {
  const id = stepWorked(book, entry);
  const step = id === undefined ? undefined : stepNamed(book.plan, id);
  if (!step || entry.type === 'undo') return [];
  if (entry.type === 'mix' && entry.data.discarded !== true)
    return book.plan.steps.filter((one) => one.permanent && (one === step || one.inPotLifeOf.includes(step.step)));
  const opens = entry.type === 'begin' || entry.type === 'finish' || entry.type === 'read' || entry.type === 'tighten';
  return opens && step.permanent && step.inPotLifeOf.length === 0 && !book.begun.has(step.step) ? [step] : [];
};

const lawOfProof = (books: Book, book: JobBook, entry: Entry): readonly string[] =>
  committed(book, entry).flatMap((step) =>
    step.sets
      .filter((feature) => !isProved(books, feature) && !hasDeparture(book, 'proof-missing'))
      .map((feature) => `${step.step} makes ${feature} permanent without its proof or a departure`),
  );

/** Rule 12: nobody begins what must reach an area under a finished covering. */
const lawOfCovers = (books: Book, book: JobBook, entry: Entry): readonly string[] => {
  const id = stepWorked(book, entry);
  const step = id === undefined ? undefined : stepNamed(book.plan, id);
  const opens = entry.type === 'begin' || entry.type === 'finish' || entry.type === 'read' || entry.type === 'tighten';
  if (!step || !opens || book.begun.has(step.step) || hasDeparture(book, 'covered')) return [];
  const isPerhapsOpen = (area: string): boolean =>
    [...books.jobs.values()].some(({ plan, perhaps }) =>
      plan.steps.some((one) => one.uncovers.includes(area) && perhaps.has(one.step)),
    );
  return step.reaches
    .filter((area) => !step.uncovers.includes(area) && !isPerhapsOpen(area))
    .flatMap((area) => {
      const turns = [...books.jobs.values()].flatMap(({ plan, done }) =>
        plan.steps.flatMap((one) => {
          const finish = done.get(one.step);
          const turned = one.covers.includes(area) || one.uncovers.includes(area);
          return finish && turned
            ? [{ covers: one.covers.includes(area), at: Date.parse(finish.when ?? finish.at) }]
            : [];
        }),
      );
      const last = turns.toSorted((one, other) => one.at - other.at).at(-1);
      return last?.covers === true ? [`${step.step} was begun in ${area}, which is covered`] : [];
    });
};

/** Rule 5: a value by a tool that must be in date, where the page wants that of the kind. */
const lawOfTools = (
  books: Book,
  book: JobBook,
  entry: EntryOf<'read'>,
  tools: readonly { tool: string; until: string }[],
): readonly string[] => {
  const reading = book.plan.steps
    .flatMap(({ readings }) => readings)
    .find(({ reading: id }) => id === entry.data.reading);
  const isWanted = book.plan.gather.tools.some(({ tool, inDate }) => tool === reading?.tool && inDate);
  if (reading === undefined || !isWanted || hasDeparture(book, 'tool-out-of-date')) return [];
  const id = entry.data.tool;
  const until = tools.find(({ tool }) => tool === id)?.until;
  const found = id === undefined ? undefined : books.found.get(id);
  const isGood = until !== undefined && Date.parse(`${until}T23:59:59+01:00`) >= Date.parse(entry.when ?? entry.at);
  return isGood && found !== 'dropped' && found !== 'wrong'
    ? []
    : [
        `${entry.data.reading} was taken with ${id ?? 'no tool'} (${found ?? 'not found wrong'}, until ${until ?? 'never'})`,
      ];
};

/** Section 5: a cure is finished when it is reached, by an evaluation of its own. Where work was done anew, its begin is not known here. */
const lawOfCures = (books: Book, book: JobBook, step: Step, entry: Entry, tallies: Tallies): readonly string[] => {
  if (!step.cure || books.hasDoubt || book.isReworked) return [];
  const { of: mixes, until } = step.cure;
  const wet = book.plan.steps.filter((one) => one.inPotLifeOf.some((mix) => mixes.includes(mix)));
  if (
    book.breaches.size > 0 ||
    wet.some(({ step: one }) => !book.done.has(one) || book.done.get(one)?.when !== undefined)
  )
    return [];
  const begun = begunByHand(
    books.entries,
    book.id,
    wet.map((one) => one.step),
  );
  const told = cureByHand(
    curePage(step.cure),
    temperaturesByHand(books.entries, step.place, { placeOf: ({ id }) => books.places.get(id) ?? '' }),
    begun,
    Date.parse(entry.when ?? entry.at),
  );
  count(tallies, 'cures worked out by hand');
  const waited = told.stages.find(({ stage }) => stage === until);
  return waited?.reached === true ? [] : [`${step.step} was finished before ${until} was reached`];
};

const lawOfFinish = (books: Book, book: JobBook, entry: EntryOf<'finish'>, tallies: Tallies): readonly string[] => {
  const step = stepNamed(book.plan, entry.data.step);
  if (!step) return [`${entry.data.step} is no step`];
  const isHold = step.hold?.kind === 'hold';
  if (isHold) count(tallies, 'holds passed');
  if (step.hold?.kind === 'witness') count(tallies, 'witness points passed');
  if (step.permanent) count(tallies, 'permanent steps');
  if (step.readings.some((one) => one.kind === 'quantity' && one.twin !== undefined)) count(tallies, 'twins');
  if (isHold && book.releases.get(step.step)?.data.remote === true) count(tallies, 'holds released remotely');
  return [
    ...(isHold && !book.releases.has(step.step) ? [`${step.step} is a hold and was finished without a release`] : []),
    ...lawOfValues(book, step),
    ...lawOfTwins(books, book, step),
    ...lawOfCures(books, book, step, entry, tallies),
    ...lawOfGates(books, book, step, entry, tallies),
  ];
};

const isOffPage = (step: Step): boolean => step.onlyIf !== undefined;

const lawOfCompletion = (books: Book, book: JobBook, laidAside: readonly string[]): readonly string[] => {
  const walked = book.plan.steps.filter((step) => !isOffPage(step) && !laidAside.includes(step.step));
  const isSettled = ({ step }: Step): boolean => book.done.has(step) || book.skipped.get(step)?.isNotDone === true;
  // Where work was done anew, the book forgot more than was taken apart.
  const open = book.isReworked ? [] : walked.filter((step) => !isSettled(step));
  const holds = walked.filter((step) => step.hold?.kind === 'hold');
  return [
    ...open.map(({ step }) => `complete, and ${step} is not finished`),
    ...[...book.skipped]
      .filter(([, { isNotDone }]) => !isNotDone)
      .map(([step]) => `complete, and ${step} is left for later`),
    ...holds.filter(({ step }) => !book.releases.has(step)).map(({ step }) => `complete, and ${step} is not released`),
    ...[...book.findings].flatMap(([number, { hold, isClosed }]) =>
      isClosed || holds.every(({ step }) => step !== hold) ? [] : [`complete, and finding ${number} is open`],
    ),
    ...[...book.breaches].map(
      ([id, { step }]) => `complete, and ${id}, done at ${step} against a rule, is not decided`,
    ),
    ...walked.flatMap((step) => [...lawOfValues(book, step), ...lawOfTwins(books, book, step)]),
  ];
};

/** What a line breaks. It is asked before the line is in the book. */
export const lawsOn = (
  books: Book,
  book: JobBook | undefined,
  entry: Entry,
  known: { readonly laidAside: readonly string[]; readonly tools: readonly { tool: string; until: string }[] },
  tallies: Tallies,
): readonly string[] => {
  if (!book || isRefused(entry)) return [];
  const found = [
    ...(entry.type === 'release' ? lawOfLooks(book, entry) : []),
    ...(entry.type === 'finish' ? lawOfFinish(books, book, entry, tallies) : []),
    ...(entry.type === 'complete' ? lawOfCompletion(books, book, known.laidAside) : []),
    ...(entry.type === 'read' ? lawOfTools(books, book, entry, known.tools) : []),
    ...lawOfProof(books, book, entry),
    ...lawOfCovers(books, book, entry),
  ];
  return found.map((one) => `${entry.id} ${entry.type} of ${book.id}: ${one}`);
};
