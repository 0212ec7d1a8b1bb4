import type { RecordDocument } from '../../src/record/document.ts';
import { holdFilesOf } from '../../src/record/hold-files.ts';
import { recordText } from '../../src/record/record.ts';
import { verifyRecord, type RecordFiles } from '../../src/record/verify.ts';
import type { AnswerFile } from '../../src/record/verify-holds.ts';
import { recordFrom, wholeJob, type Sign } from './fixture.ts';
import { keyRing } from './keys.ts';

export const ring = keyRing(['ines', 'tobias', 'marit', 'stranger']);

export type Mutable<T> = T extends object ? { -readonly [Key in keyof T]: Mutable<T[Key]> } : T;

export const job = (sign: Sign = ring.answer) => {
  const engine = wholeJob(sign);
  const answers = new Map(
    holdFilesOf(engine.job()).map(({ file, text, signature }): [string, AnswerFile] => [
      file,
      { bytes: Buffer.from(text), signature },
    ]),
  );
  return { document: recordFrom(engine, { keys: ring.fingerprints }), answers };
};

export const good = job();
export const text = recordText(good.document);
export const signature = ring.sign('ines', 'dryfit-record', text);
export const files: RecordFiles = { bytes: Buffer.from(text), signature, signers: ring.signers, answers: good.answers };

export const faultsOf = (given: RecordFiles): readonly string[] =>
  verifyRecord(given)
    .observations.filter(({ level }) => level === 'fault')
    .map(({ what, where }) => `${where}: ${what}`);

/** The record as somebody changed it, signed anew by the builder: the signature alone would call it good. */
export const forged = (
  change: (document: Mutable<RecordDocument>) => void,
  more: Partial<RecordFiles> = {},
): RecordFiles => {
  const document = structuredClone(good.document) as Mutable<RecordDocument>;
  change(document);
  const bytes = Buffer.from(recordText(document as RecordDocument));
  return { ...files, bytes, signature: ring.sign('ines', 'dryfit-record', bytes), ...more };
};

export const holdOf = (document: Mutable<RecordDocument>) => {
  const hold = document.steps.find(({ step }) => step === 'inspect')?.hold;
  if (!hold) throw new Error('no hold');
  return hold;
};
