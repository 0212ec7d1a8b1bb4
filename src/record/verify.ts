import { counted } from '../fault/counted.ts';
import { sha256Hex } from '../proof/hash.ts';
import { readSigners, signerOf, type AllowedSigner } from '../proof/signers.ts';
import { namespaces, readSignatureText } from '../proof/sshsig.ts';
import type { RecordDocument } from './document.ts';
import { foundWrong, foundOpen, noted, passed, type Observation } from './observe.ts';
import { looseOpen, nonconformancesOpen, samplesOwed } from './open.ts';
import { readRecord } from './read.ts';
import { verifyEntries } from './verify-entries.ts';
import { verifyHolds, type AnswerFiles } from './verify-holds.ts';
import { verifyValues } from './verify-values.ts';

/** A file and its signature, as far as they are there. */
export interface SignedFile {
  readonly bytes?: Uint8Array;
  readonly signature?: string;
}

/** The files of a record folder. */
export interface RecordFiles {
  /** record.json, byte for byte. */
  readonly bytes: Uint8Array;
  /** record.json.sig, armoured. */
  readonly signature?: string;
  /** record.html, byte for byte, and record.html.sig. */
  readonly page?: SignedFile;
  /** The text of an allowed_signers file: whose keys are believed. */
  readonly signers: string;
  /** By their path in the record folder: `holds/…`. */
  readonly answers?: AnswerFiles;
}

export interface VerifiedRecord {
  readonly observations: readonly Observation[];
  /** Present where the file could be read as a record, signed or not. */
  readonly document?: RecordDocument;
  /** SHA-256 of record.json. */
  readonly sha256: string;
}

const file = 'record.json';
const pageFile = 'record.html';

const verifySignature = (
  name: string,
  { bytes, signature }: SignedFile,
  signers: readonly AllowedSigner[],
  document?: RecordDocument,
): Observation => {
  const where = `${name}.sig`;
  if (bytes === undefined) return foundWrong('the file is missing, and its signature is here', name);
  if (signature === undefined) return foundWrong('the signature is missing: nothing here is proved', where);
  const signer = signerOf(signature, bytes, namespaces.record, signers);
  if (!signer.ok) return foundWrong(`the signature is not good: ${signer.fault.what}`, where);
  const read = readSignatureText(signature);
  if (!read.ok || !read.value.isAsWritten)
    return foundWrong(
      'the signature is good, but the file is not as it was written: white space or bytes outside the signature were changed',
      where,
    );
  const { person, key } = signer.value;
  if (document && document.signer !== person)
    return foundWrong(`signed by ${person}, and the record names ${document.signer} as its signer`, where);
  const listed = document?.people.find((one) => one.person === person)?.keys;
  if (listed && !listed.includes(key.fingerprint))
    return foundWrong(
      `signed with ${key.fingerprint}, which is not among the keys that the record lists for ${person}`,
      where,
    );
  return passed(`signature good: ${person}, key ${key.fingerprint}, over every byte of the file`, name);
};

/** The page for reading has a signature of its own. A record may be handed on without it, but never with one that was changed. */
const verifyPage = (
  page: SignedFile,
  signers: readonly AllowedSigner[],
  document: RecordDocument | undefined,
): Observation =>
  page.bytes === undefined && page.signature === undefined
    ? noted('the page for reading is not here', pageFile)
    : verifySignature(pageFile, page, signers, document);

/** A record is signed by a builder: whoever completed the job, or wrote the entry that changed its story. */
const signerPower = ({ people, signer }: RecordDocument): readonly Observation[] =>
  people.some(({ person, powers }) => person === signer && powers.includes('builder'))
    ? []
    : [foundWrong(`${signer}, who is named as its signer, is not a builder of this build`, 'signer')];

/** What a reader must know of the job, though nothing is wrong with the record. */
const openThings = (document: RecordDocument): readonly Observation[] => {
  const owed = samplesOwed(document);
  const open = nonconformancesOpen(document);
  const loose = looseOpen(document);
  return [
    ...(document.scripted
      ? [noted('scripted: a rehearsal wrote it, nothing in it happened at a bench', 'scripted')]
      : []),
    ...(document.job.completed && !document.job.reopened ? [] : [foundOpen('job', 'the job is not complete', 'job')]),
    ...(open.length > 0
      ? [foundOpen('nonconformance', `${counted(open.length, 'nonconformance')} open`, 'nonconformances', open.length)]
      : []),
    ...(loose.length > 0
      ? [foundOpen('loose', `${counted(loose.length, 'loose item')} open`, 'loose', loose.length)]
      : []),
    ...(owed.length > 0
      ? [foundOpen('sample', `${counted(owed.length, 'sample')} not yet broken`, 'steps', owed.length)]
      : []),
    ...(document.departures.length > 0
      ? [noted(counted(document.departures.length, 'departure') + ' from the manual', 'departures')]
      : []),
  ];
};

/** People who lost their key and had nobody to vouch for them: no signature here shows that they are who they say. */
const followers = (document: RecordDocument): readonly Observation[] =>
  document.people.flatMap(({ person, follows }) =>
    follows === undefined
      ? []
      : [noted(`not proved: that ${person} is ${follows}, whose key was lost`, `people[${person}]`)],
  );

const notProved: readonly Observation[] = [
  noted('not proved: whose hand held a key; a signature shows the key alone', file),
  noted('not proved: the clock of the machine, and that what was entered is what was on the work', file),
  noted('not proved here: that the journal holds the same; verify the whole state for that', file),
];

const signerFaults = (
  text: string,
): { readonly signers: readonly AllowedSigner[]; readonly observations: readonly Observation[] } => {
  const read = readSigners(text);
  if (!read.ok) return { signers: [], observations: [foundWrong(read.fault.what, 'allowed_signers')] };
  return {
    signers: read.value.signers,
    observations: read.value.passed.map(({ what, where }) => noted(`passed over: ${what}`, where ?? 'allowed_signers')),
  };
};

/**
 * Checks a record against its signature, its form, itself and the signed answers beside it; `recordMatches` compares it with the journal.
 * Every check is made, whatever an earlier one found; a single `fault` means that the record cannot be relied on.
 */
export const verifyRecord = (files: RecordFiles): VerifiedRecord => {
  const { signers, observations } = signerFaults(files.signers);
  const sha256 = sha256Hex(files.bytes);
  const page = files.page ?? {};
  const read = readRecord(files.bytes);
  if (!read.ok) {
    const unread = foundWrong(read.fault.what, read.fault.where ?? file);
    const signatures = [verifySignature(file, files, signers), verifyPage(page, signers, undefined)];
    return { observations: [...observations, unread, ...signatures], sha256 };
  }
  const document = read.value;
  return {
    sha256,
    document,
    observations: [
      ...observations,
      verifySignature(file, files, signers, document),
      verifyPage(page, signers, document),
      ...signerPower(document),
      ...verifyEntries(document),
      ...verifyValues(document),
      ...verifyHolds(document, files.answers ?? new Map(), signers),
      ...openThings(document),
      ...followers(document),
      ...notProved,
    ],
  };
};
