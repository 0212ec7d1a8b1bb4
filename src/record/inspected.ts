import { canonicalJson, isJsonObject, type Json, type JsonObject } from '../proof/canonical.ts';
import { sha256Hex } from '../proof/hash.ts';
import { isLookVerb, performs } from '../job/verbs.ts';
import type { RecordStep } from './document-step.ts';
import type { RecordDocument } from './document.ts';

/*
 * What a hold inspects, as a list of texts: a line for everything that was entered about it. The hash of the list is part of the second
 * person's signed answer, and the list itself is kept beside it. It is made from a record, so that anyone who has the record alone can
 * make it again as it was at the time of the answer. Signed answers depend on these lines: never change how they are written.
 */

/** One line of the list. */
export interface InspectedFact {
  /** `WRITER:SEQ` */
  readonly entry: string;
  readonly line: string;
  /** The same line without the ids of step and reading, which a later page may rename. */
  readonly bare: string;
  /** What it is about: the id of a reading, a result or a step, or `job`. */
  readonly name: string;
  /** Each field that was entered, in words, without its name. The line is made of them. */
  readonly leaves: readonly string[];
  /** The value as the line had it then, where a later entry has struck it since. */
  readonly was?: string;
}

/** Whether an entry comes before the look. */
type IsEarlier = (entry: string) => boolean;

interface Stamped extends JsonObject {
  readonly entry: string;
  readonly by: string;
  readonly at: string;
}

const isStamped = (value: JsonObject): value is Stamped =>
  typeof value['entry'] === 'string' && typeof value['by'] === 'string' && typeof value['at'] === 'string';

/** Ids that a later page may rename. */
const renamable: ReadonlySet<string> = new Set(['step', 'on', 'item']);

/** A line begins with who and when; a value that was struck has lines of its own. */
const head: ReadonlySet<string> = new Set(['entry', 'by', 'at', 'when', 'struck', 'struck-entry']);

/** What a record works out, or takes from the page or the build: it may read otherwise later, though nothing was entered. */
const workedOut: ReadonlySet<string> = new Set(
  [
    'verdict verdict-now by-page limits wrench-limits at-fastener ratio mixed-to target from to show set-aside step-undone voided open power',
    'accepted agreed-as extended file working formula caution warnings struck-by struck-at',
  ].flatMap((keys) => keys.split(' ')),
);

const isPlain = (value: Json): value is string | number | boolean =>
  typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean';

/** A value in words, without what was entered by itself; empty where nothing is left. */
const wordsOf = (value: Json | undefined): string => {
  if (value === undefined || value === null) return '';
  if (isPlain(value)) return String(value);
  if (Array.isArray(value))
    return value
      .map((item: Json) => wordsOf(item))
      .filter(Boolean)
      .join(' ');
  if (!isJsonObject(value) || isStamped(value)) return '';
  return Object.entries(value)
    .filter(([key]) => !workedOut.has(key))
    .map(([, item]) => wordsOf(item))
    .filter(Boolean)
    .join(' ');
};

/** A field that was entered, in words: `value 22.1 mm`. */
interface FieldWords {
  readonly key: string;
  readonly words: string;
  readonly text: string;
}

/** What was entered at once. */
const fieldsOf = (stamped: Stamped): readonly FieldWords[] =>
  Object.entries(stamped)
    .filter(([key]) => !head.has(key) && !workedOut.has(key))
    .map(([key, item]) => ({ key, words: wordsOf(item) }))
    .flatMap(({ key, words }) => (words === '' ? [] : [{ key, words, text: `${key} ${words}` }]));

const struckIn = (stamped: Stamped): readonly JsonObject[] => {
  const { struck } = stamped;
  return Array.isArray(struck) ? struck.filter((one): one is JsonObject => one !== null && isJsonObject(one)) : [];
};

/** The value that an entry had at the look, where it was struck only afterwards. */
const valueThen = (stamped: Stamped, isEarlier: IsEarlier): string | undefined =>
  struckIn(stamped)
    .filter((one) => !isEarlier(wordsOf(one['struck-entry'])))
    .map((one) => wordsOf(one['value']))[0];

const factOf = (entry: string, stamped: Stamped, name: string, first: readonly string[]): InspectedFact => {
  const when = typeof stamped['when'] === 'string' ? stamped['when'] : stamped.at;
  const who = `${entry} ${stamped.by} ${when}: `;
  const fields = fieldsOf(stamped);
  const bare = fields.filter(({ key }) => !renamable.has(key));
  return {
    entry,
    line: who + [`of ${name}`, ...first, ...fields.map(({ text }) => text)].join(', '),
    bare: who + [...first, ...bare.map(({ text }) => text)].join(', '),
    name,
    leaves: bare.map(({ words }) => words),
  };
};

/** The id by which a list item is known among its like. */
const nameOf = (value: JsonObject): string | undefined => {
  const found = ['reading', 'result', 'step'].map((key) => value[key]).find((one) => typeof one === 'string');
  return typeof found === 'string' ? found : undefined;
};

/** Everything that was entered in a part of a record, at any depth. */
const factsIn = (value: Json | undefined, name: string, isEarlier: IsEarlier): readonly InspectedFact[] => {
  if (Array.isArray(value)) return value.flatMap((item: Json) => factsIn(item, name, isEarlier));
  if (value === undefined || value === null || !isJsonObject(value)) return [];
  const own = nameOf(value) ?? name;
  const inside = Object.values(value).flatMap((item) => factsIn(item, own, isEarlier));
  if (!isStamped(value)) return inside;
  const striking = value['struck-entry'];
  const entry = typeof striking === 'string' ? striking : value.entry;
  if (!isEarlier(entry)) return inside.filter((fact) => isEarlier(fact.entry));
  const was = valueThen(value, isEarlier);
  const fact = factOf(entry, value, name, typeof striking === 'string' ? ['struck'] : []);
  return [was === undefined ? fact : { ...fact, was }, ...inside];
};

/**
 * Facts with what their entries said at the look, where a correction has struck it since. A time that was corrected, and what an entry had
 * not said before, are in no words of the line.
 */
const withThen =
  ({ corrections = [] }: RecordDocument, isEarlier: IsEarlier) =>
  (fact: InspectedFact): InspectedFact => {
    const struck = corrections.find((one) => one.entry === fact.entry && !isEarlier(one['struck-entry']));
    if (struck === undefined || fact.was !== undefined) return fact;
    const said = struck.was.split(', ').filter((part) => !part.startsWith('when ') && !part.endsWith(' none'));
    return { ...fact, was: said.join(', ') };
  };

/** Entries by which work was done, taken apart, decided or left for later: each is named by the hash of its journal line. */
const isWork = (type: string): boolean =>
  performs(type) || isLookVerb(type) || ['discard', 'dispose', 'skip', 'loose', 'close', 'part'].includes(type);

type JournalEntry = RecordDocument['journal']['entries'][number];

const entryFact = (entry: JournalEntry): InspectedFact => {
  const line = `${entry.entry} ${entry.by}: ${entry.type} ${entry.hash}`;
  return { entry: entry.entry, line, bare: line, name: entry.step ?? 'job', leaves: [] };
};

/** When a step was begun, finished, left or opened again is said by journal lines: its own keys change when it is done anew. */
const doneKeys: ReadonlySet<string> = new Set(['begun', 'finished', 'reopened', 'skipped', 'shown-before']);

/** The parts of a step in which something is entered. */
const partsOf = (step: RecordStep): Json =>
  Object.fromEntries(Object.entries(step).filter(([key]) => !doneKeys.has(key))) as Json;

/** A part of a record as plain JSON, to be walked. */
const plain = (value: unknown): Json => value as Json;

/** Everything of the record that was entered, whichever hold looks at it. */
export const everyFact = (document: RecordDocument, isEarlier: IsEarlier): readonly InspectedFact[] => {
  const { journal, ...rest } = document;
  return [
    ...journal.entries.filter(({ entry }) => isEarlier(entry)).map(entryFact),
    ...rest.steps.flatMap((step) => factsIn(partsOf(step), step.step, isEarlier)),
    ...factsIn(plain([rest.departures, rest.dispositions, rest.loose]), 'job', isEarlier),
  ].map(withThen(document, isEarlier));
};

/**
 * What one hold inspects: everything entered in its steps, every look and finding of the job so far (so that none can be taken out), and
 * the departures, dispositions and loose items that belong to it or to no step.
 */
export const inspectedFacts = (
  document: RecordDocument,
  hold: string,
  isEarlier: IsEarlier = () => true,
): readonly InspectedFact[] => {
  const seen = new Set(document.steps.find(({ step }) => step === hold)?.hold?.of);
  const isSeen = ({ step }: { readonly step?: string }): boolean => step === undefined || seen.has(step);
  const facts = [
    ...document.journal.entries
      .filter(
        ({ entry, step, type }) =>
          isEarlier(entry) && isWork(type) && step !== undefined && (seen.has(step) || step === hold),
      )
      .map(entryFact),
    ...document.steps.filter(isSeen).flatMap((step) => factsIn(partsOf(step), step.step, isEarlier)),
    ...document.steps
      .filter(({ step }) => !seen.has(step))
      .flatMap(({ step, hold: looked }) =>
        looked ? factsIn(plain([looked.looks, looked.findings]), step, isEarlier) : [],
      ),
    ...factsIn(plain(document.departures.filter(isSeen)), 'job', isEarlier),
    ...factsIn(plain(document.dispositions.filter(isSeen)), 'job', isEarlier),
    ...factsIn(plain(document.loose.filter((one) => isSeen(one) || seen.has(one.item))), 'job', isEarlier),
  ];
  return facts.map(withThen(document, isEarlier));
};

/** The lines of a list, each once, in an order that does not depend on where a page has a step. */
export const linesOf = (facts: readonly InspectedFact[]): readonly string[] =>
  [...new Set(facts.map(({ line }) => line))].toSorted((one, other) => (one < other ? -1 : 1));

/** SHA-256 of such a list: what the second person signs. */
export const digestOf = (lines: readonly string[]): string => sha256Hex(canonicalJson(lines));
