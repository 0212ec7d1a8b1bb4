import { err, ok, wrong, type Outcome } from '../fault/fault.ts';
import { flawOf, isJsonObject, type Json } from '../proof/canonical.ts';
import { recordShape, recordVersion, type RecordDocument } from './document.ts';
import { recordText } from './record.ts';

/** Bytes. A record of years of work has some megabytes; a longer file is not read as a record. */
export const maxRecord = 64 * 1024 * 1024;

const file = 'record.json';
const todo = 'Take the file back from another copy; a record is never edited';

const refuse = (
  code: string,
  what: string,
  where = file,
): { readonly ok: false; readonly fault: ReturnType<typeof wrong> } => err(wrong(code, what, todo, where));

const decode = (bytes: Uint8Array): string | undefined => {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return undefined;
  }
};

const parse = (text: string): Json | undefined => {
  try {
    return JSON.parse(text) as Json;
  } catch {
    return undefined;
  }
};

const pathText = (path: readonly PropertyKey[]): string =>
  path.reduce<string>(
    (text, part) =>
      typeof part === 'number' ? `${text}[${part}]` : text === '' ? String(part) : `${text}.${String(part)}`,
    '',
  );

const shapeFault = (value: Json): ReturnType<typeof refuse> | undefined => {
  const read = recordShape.safeParse(value);
  if (read.success) return undefined;
  const issue = read.error.issues[0];
  const unknown = issue?.code === 'unrecognized_keys' ? `unknown key ${issue.keys.join(', ')}` : issue?.message;
  const path = pathText(issue?.path ?? []);
  return refuse(
    'record-shape',
    `not in the form of a record: ${unknown ?? 'unreadable'}`,
    path === '' ? file : `${file} ${path}`,
  );
};

/**
 * Reads the bytes of record.json and checks their form, not their signature.
 * The document written again must give the same bytes: a repeated key, which JSON readers treat in different ways, is found by that.
 * Codes: `record-long`, `record-encoding`, `record-json`, `record-version`, `record-shape`, `record-form`.
 */
export const readRecord = (bytes: Uint8Array): Outcome<RecordDocument> => {
  if (bytes.length > maxRecord) return refuse('record-long', `longer than ${maxRecord} bytes`);
  const text = decode(bytes);
  if (text === undefined) return refuse('record-encoding', 'not UTF-8 text');
  const value = parse(text);
  if (value === undefined || !isJsonObject(value)) return refuse('record-json', 'not a JSON object');
  const flaw = flawOf(value);
  if (flaw !== undefined) return refuse('record-json', `holds ${flaw}`);
  if (value['record'] !== 'dryfit') return refuse('record-shape', 'not a record of dryfit');
  if (value['v'] !== recordVersion)
    return refuse(
      'record-version',
      `a record of version ${JSON.stringify(value['v'])}; this program reads ${recordVersion}`,
    );
  const misshapen = shapeFault(value);
  if (misshapen) return misshapen;
  const document = value as unknown as RecordDocument;
  return recordText(document) === text
    ? ok(document)
    : refuse('record-form', 'not as it was written: a repeated key, other spaces or another spelling of the same');
};
