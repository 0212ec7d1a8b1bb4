import { err, ok, wrong, type Outcome } from '../fault/fault.ts';
import { canonicalOf, type Json, type JsonObject } from './canonical.ts';
import { sha256Hex } from './hash.ts';
import type { PublicKey } from './keys.ts';
import { shapeFlaw, type Proved } from './line-shape.ts';
import { namespaces, verifyRaw } from './sshsig.ts';

/** A second signature under a line, by another person than the one whose line it is. */
export interface CoSignature {
  readonly by: string;
  /** Fingerprint of the key that made it. */
  readonly key: string;
  /** 64 bytes, base64. */
  readonly sig: string;
}

/** One line of a journal: something that a person said or did, signed, and chained to the line before. */
export interface JournalLine {
  readonly v: 1;
  /** Hash of the build's first line; empty in that first line. */
  readonly build: string;
  /** The writer whose file this is; see `isWriter`. */
  readonly writer: string;
  /** Counts from 1 in each file. */
  readonly seq: number;
  /** Hash of the line before; empty in the first line of a writer. */
  readonly prev: string;
  /** The newest known line of each other writer, as writer → hash. */
  readonly seen: Readonly<Record<string, string>>;
  /** When the line was written; RFC 3339 with offset. */
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
  /** 64 bytes in base64, over everything else in the line. */
  readonly sig: string;
}

/** A line before anyone has signed it. */
export type UnsignedLine = Omit<JournalLine, 'sig' | 'also'>;

/** In UTF-16 code units. A longer line is refused unread: large content goes into a file, and the line names the file by its hash. */
export const maxLine = 1024 * 1024;

/*
 * These functions write canonical JSON by hand: the fields in canonical order, each of a form (see line-shape.ts) that needs no
 * escaping, except `data`. Reading a journal takes a third of the time this way. The tests compare each text with
 * `canonicalJson`.
 */
const coSignatureText = ({ by, key, sig }: CoSignature): string => `{"by":"${by}","key":"${key}","sig":"${sig}"}`;

const alsoText = (also: readonly CoSignature[] | undefined): string =>
  also === undefined ? '' : `"also":[${also.map(coSignatureText).join(',')}],`;

const upToSeq = (line: UnsignedLine): string =>
  `"at":"${line.at}","build":"${line.build}","by":"${line.by}","data":${canonicalOf(line.data)},"job":"${line.job}",` +
  `"key":"${line.key}","prev":"${line.prev}","seen":${canonicalOf(line.seen)},"seq":${line.seq}`;

const fromType = ({ type, when, writer }: UnsignedLine): string =>
  `"type":"${type}","v":1,${when === undefined ? '' : `"when":"${when}",`}"writer":"${writer}"}`;

/** What each co-signature signs: the line without `sig` and `also`. */
export const coSigned = (line: UnsignedLine): string => `{${upToSeq(line)},${fromType(line)}`;

/** What the line's own signature signs: the line without `sig`, with the co-signatures. */
export const signed = (line: Omit<JournalLine, 'sig'>): string =>
  `{${alsoText(line.also)}${upToSeq(line)},${fromType(line)}`;

/** A signature under a line, not yet verified: the key that it names, and what it signs. */
export interface Claim {
  /** Fingerprint. */
  readonly key: string;
  readonly sig: string;
  readonly text: string;
}

/** Every signature under a line, the line's own first. */
export const claimsOf = (line: JournalLine): readonly Claim[] => {
  const own = { key: line.key, sig: line.sig, text: signed(line) };
  if (line.also === undefined) return [own];
  const text = coSigned(line);
  return [own, ...line.also.map(({ key, sig }) => ({ key, sig, text }))];
};

/** The text of a line as the file holds it, without its line feed. */
export const lineText = (line: JournalLine): string =>
  `{${alsoText(line.also)}${upToSeq(line)},"sig":"${line.sig}",${fromType(line)}`;

/** A line ready for the journal: it was read back from its text. Only `sealLine` makes one. */
export interface SealedLine {
  readonly line: JournalLine;
  /** The text of the line, without its line feed. */
  readonly text: string;
  readonly hash: string;
}

/** The hash by which later lines and records name this line: SHA-256 of its bytes, with the signature and without the line feed. */
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
 * Reads the text of one line, without its line feed. The line must have the right shape, no unknown fields, and be canonical:
 * writing it again gives the same text. Signatures are not verified here. Code `line-malformed`.
 * @param proved what earlier lines have proved already.
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

/** Reads back the text of a line before it goes to the disk. Code `line-malformed`. */
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
      entryId(line),
    ),
  );

/** `WRITER:SEQ`, as entries are named. */
export const entryId = ({ writer, seq }: Pick<JournalLine, 'writer' | 'seq'>): string => `${writer}:${seq}`;

/** Verifies the line's own signature with the known key of `by`. Code `signature-false`. */
export const checkLine = (line: JournalLine, key: PublicKey): Outcome<true> =>
  line.key === key.fingerprint && verifyRaw(Buffer.from(line.sig, 'base64'), key, namespaces.entry, signed(line)).ok
    ? ok(true)
    : falsely(line, line.by);

/** Verifies one co-signature of a line with the known key of its person. Code `signature-false`. */
export const checkAlso = (line: JournalLine, also: CoSignature, key: PublicKey): Outcome<true> =>
  also.key === key.fingerprint && verifyRaw(Buffer.from(also.sig, 'base64'), key, namespaces.entry, coSigned(line)).ok
    ? ok(true)
    : falsely(line, also.by);
