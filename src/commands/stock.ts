import { leftOf } from '../aircraft/draws.ts';
import { printQuantity } from '../quantity/quantity.ts';
import { goodUntil, stockName } from '../aircraft/stock.ts';
import type { StockLine } from '../aircraft/file.ts';
import { jobsOf, type BuildState } from '../aircraft/state.ts';
import { usage, type Outcome } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import { endOfDay, parseDay } from '../quantity/time.ts';
import { inDoubt, missingIn, type InDoubt } from '../workshop/doubts.ts';
import { extendLot, setLine, takeIn } from '../workshop/stock.ts';
import { failed } from './fail.ts';
import { fromHere } from './folders.ts';
import { signing, whoEnters, withState, type OpenedWorkshop } from './open.ts';
import { localDay } from './local-time.ts';
import type { Call, CommandSpec } from './spec.ts';
import { forms, isStockVerb, readStockWords, type StockVerb, type Words } from './stock-words.ts';

type Standing = 'good' | 'here' | 'past its use-by' | 'in quarantine' | 'no use-by known';

const isPast = (day: string, call: Call): boolean => {
  const read = parseDay(day);
  const now = call.host.clock.wall();
  return read.ok && endOfDay(read.value, call.host.clock.offset(now)) < now;
};

const standingOf = (line: StockLine, call: Call): Standing => {
  if (line.quarantine !== undefined) return 'in quarantine';
  const until = goodUntil(line);
  if (until === undefined) return line.material === undefined ? 'here' : 'no use-by known';
  return isPast(until, call) ? 'past its use-by' : 'good';
};

const batchesFrom = (state: BuildState, line: StockLine): readonly string[] =>
  jobsOf(state).flatMap((job) =>
    job.batches
      .filter(
        (batch) =>
          line.number !== undefined &&
          Object.values(batch.lots).includes(line.number) &&
          job.plan.steps.some((step) => step.step === batch.step && step.mix?.material === line.material),
      )
      .map((batch) => batch.batch),
  );

const list = (call: Call, { workshop }: OpenedWorkshop): number => {
  const state = workshop.state();
  const lines = state.file.stock.map((line) => {
    const until = goodUntil(line);
    const left = leftOf(state, line)?.left;
    return {
      ...line,
      ...(until === undefined ? {} : { 'good-until': until }),
      standing: standingOf(line, call),
      batches: batchesFrom(state, line),
      ...(left === undefined ? {} : { left: printQuantity(left) }),
    };
  });
  if (call.flag('json')) call.print.json({ stock: lines });
  else if (lines.length === 0) call.print.lines('nothing in stock yet: dryfit stock add MATERIAL number=…');
  else for (const line of lines) call.print.lines(...linesFor(line, line.standing, line.batches, line.left));
  return 0;
};

const linesFor = (
  line: StockLine,
  standing: Standing,
  batches: readonly string[],
  left: string | undefined,
): readonly string[] => {
  const until = goodUntil(line);
  const facts = [
    left !== undefined && batches.length > 0 ? `${left} left of ${line.quantity ?? ''}` : line.quantity,
    until === undefined ? undefined : `good until ${until}`,
    line.made && `made ${line.made}`,
    line.opened && `opened ${line.opened}`,
    line.where && `lies ${line.where}`,
    batches.length > 0 ? `mixed into ${batches.join(', ')}` : undefined,
  ].filter((fact) => fact !== undefined && fact !== '');
  return [
    `${stockName(line)}  ${standing}${line.quarantine === undefined ? '' : `: ${line.quarantine}`}`,
    ...(line['quarantine-ended'] === undefined ? [] : [`  out of quarantine: ${line['quarantine-ended']}`]),
    ...(facts.length > 0 ? [`  ${facts.join('; ')}`] : []),
    ...line.extended.map(
      ({ to, because, by, on, evidence }) =>
        `  extended to ${to} by ${by ?? 'somebody'}${on === undefined ? '' : `, ${on}`}: ${because}${evidence === undefined ? '; no evidence kept' : `; attachments/${evidence}`}`,
    ),
  ];
};

/** Stock that comes in out of date, or without a number, goes into quarantine at once. */
const intake = (values: Words['values'], call: Call): Readonly<Record<string, string>> => {
  const until = values['use-by'];
  if (values['number'] === undefined) return { quarantine: 'no lot number on the label' };
  return until !== undefined && isPast(until, call)
    ? { quarantine: `its use-by, ${until}, had passed when it came` }
    : {};
};

type Work = (call: Call, opened: OpenedWorkshop, words: Words, by: string) => Promise<Outcome<readonly string[]>>;

const changing =
  (values: (words: Words, call: Call) => Readonly<Record<string, string | undefined>>): Work =>
  (call, opened, words, by) =>
    signing(call, opened, (signerOf) => setLine(opened.workshop, words.key, values(words, call), by, signerOf));

/** True for a lot that a job named and that the stock does not list. */
const isUnlisted = (state: BuildState, { what, number }: Words['key']): boolean =>
  number !== undefined &&
  !state.file.stock.some((line) => line.material === what && line.number === number) &&
  jobsOf(state).some((job) => job.lots.some((lot) => lot.material === what && lot.number === number));

/** What a change of the stock puts in doubt, and what it puts in doubt no longer. */
const doubtLines = (verb: StockVerb, before: readonly InDoubt[], after: readonly InDoubt[]): readonly string[] => {
  const [opened, ended] = [missingIn(after, before), missingIn(before, after)];
  return [
    ...(opened.length > 0 ? ['In doubt now, until it is disposed of or the quarantine ends:'] : []),
    ...opened.map(({ job, what }) => `  ${job}: ${what}`),
    ...(verb === 'quarantine' && opened.length === 0 ? ['No work in this build rests on it.'] : []),
    ...ended.map(({ job, what }) => `No longer in doubt: ${job}: ${what}`),
  ];
};

const works: Readonly<Record<StockVerb, Work>> = {
  add: (call, opened, { key, values }, by) =>
    signing(call, opened, (signerOf) =>
      takeIn(opened.workshop, { material: key.what, ...values, ...intake(values, call) }, by, signerOf),
    ),
  'add-part': (call, opened, { key, values }, by) =>
    signing(call, opened, (signerOf) => takeIn(opened.workshop, { part: key.what, ...values }, by, signerOf)),
  open: changing(({ values }, call) => ({
    opened: values['on'] ?? localDay(call.host.clock),
    ...(values['once-opened'] === undefined ? {} : { 'once-opened': values['once-opened'] }),
  })),
  quarantine: (call, opened, words, by) => {
    const { what, number } = words.key;
    const because = words.values['because'] ?? '';
    // A lot that a job used may be recalled although nobody ever took it into the stock.
    return isUnlisted(opened.workshop.state(), words.key)
      ? signing(call, opened, (signerOf) =>
          takeIn(opened.workshop, { material: what, number: number ?? '', quarantine: because }, by, signerOf),
        )
      : changing(() => ({ quarantine: because, 'quarantine-ended': undefined }))(call, opened, words, by);
  },
  restore: changing(({ values }) => ({ quarantine: undefined, 'quarantine-ended': values['because'] })),
  extend: (call, opened, { key, values }, by) => {
    const extension = { to: values['to'] ?? '', because: values['because'] ?? '', by, on: localDay(call.host.clock) };
    const evidence = fromHere(call.host.env, values['evidence'] ?? '');
    return signing(call, opened, (signerOf) => extendLot(opened.workshop, key, extension, evidence, by, signerOf));
  },
};

const change = async (
  call: Call,
  opened: OpenedWorkshop,
  verb: StockVerb,
  words: readonly string[],
): Promise<number> => {
  const read = readStockWords(verb, words);
  if (!read.ok) return failed(call, read.fault);
  const by = whoEnters(opened);
  if (!by.ok) return failed(call, by.fault);
  const before = inDoubt(opened.workshop.state());
  const done = await works[verb](call, opened, read.value, by.value);
  if (!done.ok) return failed(call, done.fault);
  for (const told of done.value) call.print.note(`note: ${told}`);
  const { what, number, serial } = read.value.key;
  const state = opened.workshop.state();
  const after = inDoubt(state);
  const lines = state.file.stock.filter(
    (line) =>
      (line.material ?? line.part) === what &&
      (number === undefined || line.number === number) &&
      (serial === undefined || line.serial === serial),
  );
  if (call.flag('json')) call.print.json({ stock: lines, 'in-doubt': missingIn(after, before) });
  else {
    for (const line of lines) call.print.lines(...linesFor(line, standingOf(line, call), [], undefined));
    const doubts = doubtLines(verb, before, after);
    if (doubts.length > 0) call.print.lines(...doubts);
  }
  return 0;
};

export const stockCommand: CommandSpec = {
  name: 'stock',
  about: 'lots and parts: taken in, opened, set aside, extended',
  usage: ['dryfit stock', ...Object.values(forms).map(({ form }) => form)],
  options: {},
  more: [
    'A lot past its use-by, or in quarantine, refuses its use (lot-expired). A quarantine after use puts in doubt what rests on it.',
    'An extension needs evidence, kept by its hash. What comes in out of date, or without a number, goes into quarantine at once. All of it is in build.yaml, signed as it changes.',
  ],
  run: (call) => {
    const [verb, ...words] = call.words;
    if (verb === undefined) return withState(call, 'read', (opened) => list(call, opened));
    if (!isStockVerb(verb)) {
      const near = suggest(verb, Object.keys(forms));
      const todo = near === undefined ? `use one of: ${Object.keys(forms).join(', ')}` : `did you mean ${near}?`;
      return failed(call, usage('word-extra', `stock ${verb} means nothing`, todo));
    }
    return withState(call, 'write', (opened) => change(call, opened, verb, words));
  },
};
