import { isLookVerb } from '../../job/verbs.ts';
import type { BuildState } from '../../aircraft/state.ts';
import { own } from '../../fault/own.ts';
import type { Link } from '../../proof/chain.ts';
import { reachOf, type Reach } from '../../proof/coverage.ts';
import { readSignatureText } from '../../proof/sshsig.ts';
import { noted, passed, type Observation } from '../../record/observe.ts';
import { journalFile } from '../../store/layout.ts';
import { readAnswer } from '../answers.ts';
import type { FoundRecord } from './verify-records.ts';

/*
 * Which entries rest on one person's key alone. Whoever holds a key can write anew every line that they signed, as long as nobody else's
 * signature rests on it. Another person's signature rests on a line where
 * - they signed a later line of the chain, as its writer or beside its writer (`also`), in the same file or in one that had `seen` it;
 * - they signed an answer to a hold: its `head` is the hash of the last entry that they were shown;
 * - they signed a record: it names its entries by their hashes.
 * It proves the line as long as it is here, and as far as the key is theirs.
 */

/** A signature that rests on a writer's file, from entry 1 to entry `to`. */
export interface KeyCover {
  readonly person: string;
  /** Fingerprint. */
  readonly key: string;
  readonly to: number;
}

/** What rests on the entries of one writer. */
export interface Cover {
  readonly writer: string;
  readonly entries: number;
  readonly people: readonly KeyCover[];
  /** Which other writers have seen the entries, up to which. They may be machines of the same person. */
  readonly writers: readonly { readonly writer: string; readonly to: number }[];
  /** The entries at the end on which no signature rests but that of the person who signed them. */
  readonly alone?: { readonly from: number; readonly to: number; readonly person: string };
}

/** Somebody who signed, under one of their keys. */
type Signed = readonly [person: string, key: string];

/** Signatures outside a line's own, by the hash of the line on which each rests. */
type Further = ReadonlyMap<string, readonly Signed[]>;

/** An answer to a hold that somebody else carried in. Whether its signature is theirs was checked when the line was believed. */
const answerOn = ({ line }: Link): readonly (readonly [hash: string, signed: Signed])[] => {
  const { answer: text, 'answer-sig': signature, person } = line.data;
  if (!isLookVerb(line.type) || typeof person !== 'string' || person === line.by) return [];
  if (typeof text !== 'string' || typeof signature !== 'string') return [];
  const [answer, read] = [readAnswer(text), readSignatureText(signature)];
  return answer.ok && read.ok ? [[answer.value.head, [person, read.value.key]]] : [];
};

/** A record names the entries that it tells of, and the line on which it rests. */
const recordOn = ({ document, files }: FoundRecord): readonly (readonly [hash: string, signed: Signed])[] => {
  const read = files?.signature === undefined ? undefined : readSignatureText(files.signature);
  if (document === undefined || read?.ok !== true) return [];
  const signed: Signed = [document.signer, read.value.key];
  return [document.journal.hash, ...document.journal.entries.map(({ hash }) => hash)].map((hash) => [hash, signed]);
};

const furtherOf = (links: readonly Link[], records: readonly FoundRecord[]): Further => {
  const further = new Map<string, Signed[]>();
  for (const [hash, signed] of [...links.flatMap(answerOn), ...records.flatMap(recordOn)]) {
    const there = further.get(hash);
    if (there === undefined) further.set(hash, [signed]);
    else there.push(signed);
  }
  return further;
};

const signedIn = ({ line }: Link): readonly Signed[] =>
  line.also === undefined
    ? [[line.by, line.key]]
    : [[line.by, line.key], ...line.also.map(({ by, key }): Signed => [by, key])];

const between = ' ';
const nameOf = ([person, key]: Signed): string => `${person}${between}${key}`;

/** Whoever follows a person whose key was lost says that they are the same person, so one of them does not cover for the other. */
const samePersonAs = ({ following }: BuildState, person: string): string => {
  const met = new Set<string>();
  let at = person;
  for (let next = own(following, at); next !== undefined && !met.has(at); next = own(following, at)) {
    met.add(at);
    at = next.person;
  }
  return at;
};

/** Where the entries begin that rest on the key of one person alone. What rests on an entry rests on all before it, so these are the last ones. */
const aloneFrom = (state: BuildState, links: readonly Link[], people: readonly KeyCover[]): Cover['alone'] => {
  const reaches = new Map<string, number>();
  for (const { person, to } of people) {
    const who = samePersonAs(state, person);
    reaches.set(who, Math.max(reaches.get(who) ?? 0, to));
  }
  const isAlone = ({ line }: Link): boolean => {
    const who = samePersonAs(state, line.by);
    return [...reaches].every(([other, to]) => other === who || to < line.seq);
  };
  const last = links.at(-1);
  const from = links.findLastIndex((link) => !isAlone(link)) + 1;
  const first = links[from];
  return first === undefined || last === undefined
    ? undefined
    : { from: first.line.seq, to: last.line.seq, person: first.line.by };
};

const peopleOf = (reach: Reach, writer: string): readonly KeyCover[] =>
  [...(reach.get(writer) ?? [])]
    .map(([name, to]) => {
      const [person = '', key = ''] = name.split(between);
      return { person, key, to };
    })
    .toSorted((a, b) => b.to - a.to || (a.key < b.key ? -1 : 1));

const writersOf = (reach: Reach, writer: string): Cover['writers'] =>
  [...(reach.get(writer) ?? [])]
    .filter(([other]) => other !== writer)
    .map(([other, to]) => ({ writer: other, to }))
    .toSorted((a, b) => (a.writer < b.writer ? -1 : 1));

/**
 * What rests on each writer's entries.
 * @param links the lines that could be believed, in causal order.
 * @param state the build after them.
 */
export const coverageOf = (
  state: BuildState,
  links: readonly Link[],
  records: readonly FoundRecord[],
): readonly Cover[] => {
  const further = furtherOf(links, records);
  const signatures = reachOf(links, (link) => [...signedIn(link), ...(further.get(link.hash) ?? [])].map(nameOf));
  const seen = reachOf(links, ({ line }) => [line.writer]);
  const files = new Map<string, Link[]>();
  for (const link of links) {
    const file = files.get(link.line.writer);
    if (file === undefined) files.set(link.line.writer, [link]);
    else file.push(link);
  }
  return [...files].map(([writer, own]) => {
    const people = peopleOf(signatures, writer);
    const alone = aloneFrom(state, own, people);
    const found = { writer, entries: own.length, people, writers: writersOf(seen, writer) };
    return alone === undefined ? found : { ...found, alone };
  });
};

const rangeOf = (from: number, to: number): string => (from === to ? `entry ${from}` : `entries ${from} to ${to}`);

/** The people whose signatures rest on the entries before `end`, each once, with how far. */
const coveringText = (people: readonly KeyCover[], except: string | undefined, end: number): string => {
  const furthest = new Map<string, number>();
  for (const { person, to } of people)
    if (person !== except) furthest.set(person, Math.max(furthest.get(person) ?? 0, Math.min(to, end)));
  return [...furthest].map(([person, to]) => `${person} to ${to}`).join(', ');
};

/** The coverage of each file in one line. */
export const coverageObservations = (coverage: readonly Cover[]): readonly Observation[] =>
  coverage.map(({ writer, entries, people, writers, alone }) => {
    const where = journalFile(writer);
    if (alone === undefined)
      return passed(`every entry is covered by a second person: ${coveringText(people, undefined, entries)}`, where);
    const { from, to, person } = alone;
    const covered = from === 1 ? '' : `covered by a second person: ${coveringText(people, person, from - 1)}; `;
    const others = writers.filter((one) => one.to >= from).map((one) => `${one.writer} to ${one.to}`);
    const seen = others.length === 0 ? '' : `; seen by other writers: ${others.join(', ')}`;
    return noted(
      `${covered}${rangeOf(from, to)}: covered by nobody but ${person}, whose key can rewrite them${seen}`,
      where,
    );
  });
