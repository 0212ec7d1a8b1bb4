import { err, ok, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { sha256Hex } from './hash.ts';
import type { Proved } from './line-shape.ts';
import { readLine, type JournalLine } from './line.ts';

/** A line of a chain: it is known to be canonical and to follow the line before it in its file. */
export interface Link {
  readonly line: JournalLine;
  readonly hash: string;
}

/** How much of a writer's file is one unbroken chain. */
export interface Chain {
  readonly writer: string;
  readonly links: readonly Link[];
  /** The first fault, with file and line. The lines after it were not read. */
  readonly fault?: Fault;
}

const broken = (code: string, what: string, where: string): Fault =>
  wrong(code, what, 'Take the file back from another copy: nothing after this line can be trusted', where);

/** The build that a line belongs to. The first line of a build is named by its own hash. */
export const buildOf = ({ line, hash }: Link): string => (line.build === '' ? hash : line.build);

/** How a fault names the place after a line. */
const placeAfter = (file: string, last: Link | undefined): string => `${file}:${(last?.line.seq ?? 0) + 1}`;

/** Why `next` does not follow `last` in the file of `writer`. */
const linkFlaw = (writer: string, last: Link | undefined, next: JournalLine): [string, string] | undefined => {
  if (next.writer !== writer) return ['chain-writer', `a line of ${next.writer} in the file of ${writer}`];
  const seq = (last?.line.seq ?? 0) + 1;
  if (next.seq !== seq) return ['chain-seq', `line ${next.seq} of its writer where ${seq} belongs`];
  if (last === undefined) return undefined;
  if (next.prev !== last.hash) return ['chain-prev', 'it does not name the line before it'];
  return next.build === buildOf(last) ? undefined : ['chain-build', 'it belongs to another build'];
};

/** The line that follows `last` in the file of `writer`, or why it does not follow. Codes `chain-…`. */
export const linkAfter = (writer: string, file: string, last: Link | undefined, next: Link): Outcome<Link> => {
  const flaw = linkFlaw(writer, last, next.line);
  return flaw === undefined ? ok(next) : err(broken(...flaw, placeAfter(file, last)));
};

/**
 * The same line, but its strings are those of the line before where they are equal. Half of what a line holds is equal, so a
 * hundred thousand lines take half the memory, and half the time for garbage collection.
 */
const sharing = (proved: Proved, next: JournalLine): JournalLine => {
  const line = next as { -readonly [Field in keyof JournalLine]: JournalLine[Field] };
  if (line.prev === proved.prev) line.prev = proved.prev;
  if (line.build === proved.build) line.build = proved.build;
  if (line.by === proved.by) line.by = proved.by;
  if (line.job === proved.job) line.job = proved.job;
  if (line.key === proved.key) line.key = proved.key;
  if (line.type === proved.type) line.type = proved.type;
  if (line.writer === proved.writer) line.writer = proved.writer;
  return line;
};

/** Records what this line has proved. */
const provedBy = (proved: Proved, { line, hash }: Link): void => {
  proved.build = line.build;
  proved.by = line.by;
  proved.job = line.job;
  proved.key = line.key;
  proved.prev = hash;
  proved.type = line.type;
  proved.writer = line.writer;
};

/** Takes the lines of one file, one after another, and stops at the first that does not follow. */
export interface ChainReader {
  /** `true` where the line follows. After a fault no line does. `bytes` are the text as UTF-8, where the caller has them already. */
  take(text: string, bytes?: Uint8Array): boolean;
  /** Ends the chain here, because the next line cannot even be read as text. */
  refuse(code: string, what: string): false;
  chain(): Chain;
}

/**
 * @param file how a fault names the file, before `:LINE`.
 * @param after the link to continue from, where earlier links are known.
 */
export const chainReader = (writer: string, file: string, after?: Link): ChainReader => {
  const links: Link[] = [];
  const proved: Proved = { build: '', by: '', job: '', key: '', prev: '', type: '', writer: '' };
  let last = after;
  if (last !== undefined) provedBy(proved, last);
  let fault: Fault | undefined;
  const refuse = (code: string, what: string): false => {
    fault = broken(code, what, placeAfter(file, last));
    return false;
  };
  const take = (text: string, bytes: Uint8Array | string = text): boolean => {
    if (fault !== undefined) return false;
    const read = readLine(text, last && proved);
    if (!read.ok) return refuse(read.fault.code, read.fault.what);
    const flaw = linkFlaw(writer, last, read.value);
    if (flaw !== undefined) return refuse(...flaw);
    last = { line: sharing(proved, read.value), hash: sha256Hex(bytes) };
    provedBy(proved, last);
    links.push(last);
    return true;
  };
  return { take, refuse, chain: () => (fault === undefined ? { writer, links } : { writer, links, fault }) };
};

/** The chain of one writer's lines, in the order of its file. */
export const readChain = (writer: string, file: string, texts: Iterable<string>): Chain => {
  const reader = chainReader(writer, file);
  for (const text of texts) if (!reader.take(text)) break;
  return reader.chain();
};

/**
 * The build that all chains belong to, or `undefined` where there is no line yet.
 * Codes: `build-two` (lines of different builds in one folder), `build-unfounded` (no file has the first line of the build).
 */
export const commonBuild = (chains: readonly Chain[]): Outcome<string | undefined> => {
  const begun = chains.filter(({ links }) => links.length > 0);
  const founder = begun.find(({ links }) => links[0]?.line.build === '') ?? begun[0];
  const first = founder?.links[0];
  if (first === undefined) return ok(undefined);
  const build = buildOf(first);
  const stranger = begun.find(({ links }) => links[0] !== undefined && buildOf(links[0]) !== build);
  if (stranger !== undefined)
    return err(broken('build-two', 'these lines belong to another build', `journal/${stranger.writer}.jsonl:1`));
  return first.line.build === ''
    ? ok(build)
    : err(
        wrong(
          'build-unfounded',
          'the file with the first line of this build is missing',
          'Bring the journal file of the machine on which the build was begun',
          'journal',
        ),
      );
};
