import { err, ok, wrong, type Outcome } from '../fault/fault.ts';
import { canonicalOf, type Json, type JsonObject } from './canonical.ts';
import { sha256Hex } from './hash.ts';
import type { PublicKey } from './keys.ts';
import { shapeFlaw, type Proved } from './line-shape.ts';
import { namespaces, verifyRaw } from './sshsig.ts';

/** One more signature under a line, by a person other than the one whose line it is. */
export interface CoSignature {
  readonly by: string;
  /** Fingerprint of the key that made it. */
  readonly key: string;
  /** 64 bytes, base64. */
  readonly sig: string;
}

/** One line of a journal: something a person said or did, chained to the line before and signed. */
export interface JournalLine {
  readonly v: 1;
  /** Hash of the build's first line; empty in that line itself. */
  readonly build: string;
  /** The writer whose file this is; see `isWriter`. */
  readonly writer: string;
  /** Counts from 1 in each file. */
  readonly seq: number;
  /** Hash of the line before; empty in a writer's first line. */
  readonly prev: string;
  /** The newest line known of each other writer: writer → hash. */
  readonly seen: Readonly<Record<string, string>>;
  /** When it was written; RFC 3339 with offset. */
  readonly at: string;
  /** When it happened, where that differs from `at`. */
  readonly when?: string;
  readonly by: string;
  /** Fingerprint of the key that made `sig`. */
  readonly key: string;
  /** Empty where the entry belongs to the whole build. */
  readonly job: string;
  readonly type: string;
  readonly data: JsonObject;
  readonly also?: readonly CoSignature[];
  /** 64 bytes, base64, over everything else in the line. */
  readonly sig: string;
}

/** A line before anyone has signed it. */
export type UnsignedLine = Omit<JournalLine, 'sig' | 'also'>;

/** A longer line is refused unread, in UTF-16 code units: what is large goes into a file that the line names by its hash. */
export const maxLine = 1024 * 1024;

/*
 * The texts below are canonical JSON written out by hand: the fields in their order, and every one but `data` of a form
 * (see line-shape.ts) that needs no escaping. A journal is read at a third of the cost that way; the tests hold each
 * text against `canonicalJson`.
 */
const coSignatureText = ({ by, key, sig }: CoSignature): string => `{"by":"${by}","key":"${key}","sig":"${sig}"}`;

const alsoText = (also: readonly CoSignature[] | undefined): string =>
  also === undefined ? '' : `"also":[${also.map(coSignatureText).join(',')}],`;

const upToSeq = (line: UnsignedLine): string =>
  `"at":"${line.at}","build":"${line.build}","by":"${line.by}","data":${canonicalOf(line.data)},"job":"${line.job}",` +
  `"key":"${line.key}","prev":"${line.prev}","seen":${canonicalOf(line.seen)},"seq":${line.seq}`;

const fromType = ({ type, when, writer }: UnsignedLine): string =>
  `"type":"${type}","v":1,${when === undefined ? '' : `"when":"${when}",`}"writer":"${writer}"}`;

/** What each co-signature is made over: the line without `sig` and `also`. */
export const coSigned = (line: UnsignedLine): string => `{${upToSeq(line)},${fromType(line)}`;

/** What the line's own signature is made over: the line without `sig`, the co-signatures included. */
export const signed = (line: Omit<JournalLine, 'sig'>): string =>
  `{${alsoText(line.also)}${upToSeq(line)},${fromType(line)}`;

/** A signature under a line: the key that is said to have made it, and what it is made over. */
export interface Claim {
  /** Fingerprint. */
  readonly key: string;
  readonly sig: string;
  readonly text: string;
}

/** Every signature under a line, its own first. */
export const claimsOf = (line: JournalLine): readonly Claim[] => {
  const own = { key: line.key, sig: line.sig, text: signed(line) };
  if (line.also === undefined) return [own];
  const text = coSigned(line);
  return [own, ...line.also.map(({ key, sig }) => ({ key, sig, text }))];
};

/** The text of a line as it stands in the file, without its line feed. */
export const lineText = (line: JournalLine): string =>
  `{${alsoText(line.also)}${upToSeq(line)},"sig":"${line.sig}",${fromType(line)}`;

/** A line as it goes to the journal: proved to read back as it stands. Made by `sealLine` alone. */
export interface SealedLine {
  readonly line: JournalLine;
  /** Its text, without the line feed. */
  readonly text: string;
  readonly hash: string;
}

/** The hash by which later lines and records name this one: SHA-256 of its bytes, signature included, no line feed. */
export const lineHash = (text: string): string => sha256Hex(text);

const unreadable = (what: string): { readonly ok: false; readonly fault: ReturnType<typeof wrong> } =>
  err(wrong('line-malformed', what, 'Take the journal file back from another copy; it is never edited by hand'));

const parse = (text: string): Json | undefined => {
  try {
    return JSON.parse(text) as Json;
  } catch {
    return undefined;
  }
};

/**
 * Reads the text of one line, without its line feed: of the right shape, nothing unknown in it, and canonical, so that
 * written again it gives the same text. No signature is looked at here. Code `line-malformed`.
 * @param proved what need not be proved again.
 */
export const readLine = (text: string, proved?: Readonly<Proved>): Outcome<JournalLine> => {
  if (text.length > maxLine) return unreadable(`a line of more than ${maxLine} characters`);
  const json = parse(text);
  if (json === undefined) return unreadable('not JSON');
  const flaw = shapeFlaw(json, proved);
  if (flaw !== undefined) return unreadable(flaw);
  const line = json as unknown as JournalLine;
  return lineText(line) === text ? ok(line) : unreadable('not in its canonical form (RFC 8785)');
};

/** The text of a line, read back, with all that there is to know of it; nothing else goes to the disk. Code `line-malformed`. */
export const sealLine = (text: string): Outcome<SealedLine> => {
  const read = readLine(text);
  return read.ok ? ok({ line: read.value, text, hash: lineHash(text) }) : read;
};

const falsely = (line: JournalLine, by: string): { readonly ok: false; readonly fault: ReturnType<typeof wrong> } =>
  err(
    wrong(
      'signature-false',
      `the signature of ${by} under ${line.type} does not fit what the line says`,
      'The line was changed after it was signed, or signed with another key: take the file back from another copy',
      `${line.writer}:${line.seq}`,
    ),
  );

/** Checks the line's own signature against the key that `by` is known to have. Code `signature-false`. */
export const checkLine = (line: JournalLine, key: PublicKey): Outcome<true> =>
  line.key === key.fingerprint && verifyRaw(Buffer.from(line.sig, 'base64'), key, namespaces.entry, signed(line)).ok
    ? ok(true)
    : falsely(line, line.by);

/** Checks one co-signature of a line against the key that its person is known to have. Code `signature-false`. */
export const checkAlso = (line: JournalLine, also: CoSignature, key: PublicKey): Outcome<true> =>
  also.key === key.fingerprint && verifyRaw(Buffer.from(also.sig, 'base64'), key, namespaces.entry, coSigned(line)).ok
    ? ok(true)
    : falsely(line, also.by);
