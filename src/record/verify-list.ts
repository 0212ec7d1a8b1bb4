import type { RecordDocument } from './document.ts';
import { digestOf, everyFact, inspectedFacts, type InspectedFact } from './inspected.ts';
import { foundWrong, noted, passed, type Observation } from './observe.ts';

/** What a second person signed of what they inspected. */
export interface SignedList {
  readonly inspected: readonly string[];
  readonly digest: string;
}

/** Of a record, the entries that come before one of them. */
const earlierThan = ({ journal }: RecordDocument, look: string): ((entry: string) => boolean) => {
  const places = new Map(journal.entries.map(({ entry }, index) => [entry, index]));
  const limit = places.get(look) ?? -1;
  return (entry) => (places.get(entry) ?? Infinity) < limit;
};

/** A field that the entry did not have before a correction gave it one. */
const absent = / none$/;

/** True where a signed line says the value that the entry had then; a later correction has struck it. */
const saidThen = (line: string, { entry, was }: InspectedFact): boolean => {
  if (was === undefined || !line.startsWith(`${entry} `)) return false;
  const words = line.split(', ');
  const parts = was.split(', ').filter((part) => !part.startsWith('when '));
  return parts.every((part) =>
    absent.test(part)
      ? !words.some((one) => one.startsWith(part.replace(absent, ' ')))
      : words.some((one) => one.endsWith(part)),
  );
};

/** True where a signed line says a departure as it was before it first served a step: without that step. */
const saidUnserved = (line: string, { bare }: InspectedFact): boolean => line === bare.replace(': ', ': of job, ');

const withoutName = (line: string): string =>
  line
    .replace(/: of [^,]*(?:, )?/, ': ')
    .split(', ')
    .filter((part) => !/^(?:step|on|item) /.test(part))
    .join(', ');

/** Entries of several machines are put in one order afterwards: what one wrote may come before a look that did not know of it. */
const isOfSeveral = ({ journal }: RecordDocument): boolean =>
  new Set(journal.entries.map(({ entry }) => entry.slice(0, entry.lastIndexOf(':')))).size > 1;

/**
 * The list that a second person signed, made again from the record as it was at their look. Whatever the record no longer says, says
 * otherwise, or says beside it is found out, whoever signed the record.
 * @param look the entry of the look.
 */
export const verifyList = (
  document: RecordDocument,
  hold: string,
  look: string,
  signed: SignedList,
  where: string,
): readonly Observation[] => {
  if (digestOf(signed.inspected) !== signed.digest)
    return [foundWrong('the digest that was signed is not that of the list beside it', where)];
  const isEarlier = earlierThan(document, look);
  const isMovedLater = document.moves?.some(({ entry }) => !isEarlier(entry)) === true;
  const facts = everyFact(document, isEarlier);
  const lines = new Set(facts.flatMap(({ line, bare }) => (isMovedLater ? [line, bare] : [line])));
  const departures = new Set(document.departures.map(({ entry }) => entry));
  const isSaid = (line: string, fact: InspectedFact): boolean =>
    saidThen(line, fact) || (departures.has(fact.entry) && saidUnserved(line, fact));
  const isThere = (line: string): boolean =>
    lines.has(line) || (isMovedLater && lines.has(withoutName(line))) || facts.some((fact) => isSaid(line, fact));
  const missing = signed.inspected.filter((line) => !isThere(line));
  const known = new Set(signed.inspected);
  const beside = isMovedLater
    ? []
    : inspectedFacts(document, hold, isEarlier).filter(
        (fact) => !known.has(fact.line) && !signed.inspected.some((line) => isSaid(line, fact)),
      );
  const odd = isOfSeveral(document) ? noted : foundWrong;
  const faults = [
    ...missing.map((line) => foundWrong(`signed for, and not so in the record: ${line}`, where)),
    ...beside.map(({ line }) => odd(`in the record, and not on the list that was signed: ${line}`, where)),
  ];
  return faults.length > 0
    ? faults
    : [passed(`what was inspected is as it was signed for, ${signed.inspected.length} lines`, where)];
};
