import type { EntryOf } from '../../../src/job/entry.ts';
import type { GateItem } from '../../../src/job/gate-sheet.ts';
import type { Step } from '../../../src/procedure/model.ts';
import type { Book, JobBook } from './ledger.ts';
import { count, type Tallies } from './tallies.ts';

/* Rule 11: what a gate wants, worked out from the book alone. */

interface Wanted {
  readonly why: string;
  readonly is: (item: GateItem) => boolean;
}

const isDue = (gates: readonly string[], before: string, gate: string): boolean =>
  gate === gates.at(-1) || gates.indexOf(before) <= gates.indexOf(gate);

const isOut = (id: string, kind: GateItem['kind']) => (item: GateItem) => item.job === id && item.kind === kind;

const withdrawn = ({ entries }: JobBook): boolean => entries.some(({ type }) => type === 'withdraw');

const ofJob = (gates: readonly string[], book: JobBook, gate: string, closes: readonly string[]): readonly Wanted[] => {
  const { id } = book;
  const tags = [
    ...[...book.loose].filter(([, { left, item }]) => left > 0 && !closes.includes(item)),
    ...[...book.skipped].filter(([, { isNotDone }]) => !isNotDone).map(([, one]) => [one.tag, one] as const),
  ];
  const due = tags
    .filter(([, { before }]) => isDue(gates, before, gate))
    .map(([tag]) => ({ why: `${tag} is out`, is: (item: GateItem) => item.key.split(' ')[0] === tag }));
  if (withdrawn(book)) return due;
  const samples = [...book.batches].filter(
    ([, { step, isGood, isBroken }]) =>
      isGood && !isBroken && book.plan.steps.some((one) => one.step === step && one.mix?.sample === true),
  );
  return [
    ...due,
    ...[...book.findings]
      .filter(([, { isClosed }]) => !isClosed)
      .map(([number]) => ({ why: `finding ${number} of ${id} is open`, is: isOut(id, 'finding') })),
    ...samples.map(([batch]) => ({ why: `the sample of ${batch} is not broken`, is: isOut(id, 'sample') })),
    ...[...book.breaches.keys()].map((entry) => ({
      why: `${entry} was done against a rule`,
      is: (item: GateItem) => item.kind === 'nonconformance' && item.key.includes(`done ${entry} `),
    })),
  ];
};

/** A planned procedure wants its jobs complete; one that passes this gate is not wanted before it. */
const ofPlan = (
  books: Book,
  plan: readonly { procedure: string; before?: string }[],
  gate: string,
): readonly Wanted[] =>
  plan
    .filter(({ before = books.gates.at(-1) ?? '' }) => isDue(books.gates, before, gate))
    .flatMap(({ procedure }): readonly Wanted[] => {
      const jobs = [...books.jobs.values()].filter((one) => one.plan.procedure === procedure && !withdrawn(one));
      if (jobs.some(({ plan: { steps } }) => steps.some((step) => step.gate === gate))) return [];
      return jobs
        .filter(({ completed }) => completed === undefined)
        .map(({ id }) => ({ why: `${id} was never complete`, is: isOut(id, 'unfinished') }));
    });

/** The finish of a gate step passes nothing open, and what the book knows to be open is excepted there by name. */
export const lawOfGates = (
  books: Book,
  book: JobBook,
  step: Step,
  { data }: EntryOf<'finish'>,
  tallies: Tallies,
): readonly string[] => {
  const sheet = data['gate-sheet'];
  if (step.gate === undefined) return [];
  if (sheet === undefined) return [`${step.step} passed ${step.gate} without its sheet`];
  count(tallies, 'gates passed');
  count(tallies, 'excepted at a gate', sheet.excepted.length);
  const wanted = [
    ...[...books.jobs.values()].flatMap((one) => ofJob(books.gates, one, sheet.gate, step.closes)),
    ...ofPlan(books, books.plan, sheet.gate),
  ];
  return [
    ...sheet.open.map(({ what }) => `${sheet.gate} was passed with this open: ${what}`),
    ...wanted.filter(({ is }) => !sheet.excepted.some(is)).map(({ why }) => `${sheet.gate} was passed, and ${why}`),
    ...(book.plan.strict && sheet.excepted.length > 0
      ? [`a strict procedure passed ${sheet.gate} with exceptions`]
      : []),
  ];
};
