import { join } from 'node:path';
import { isJob, isPerson, isWriter } from '../proof/line-shape.ts';
import { isHash } from '../proof/hash.ts';
import type { JournalLine } from '../proof/line.ts';

/** The folders of a state, relative to the state folder and with `/`, as faults and records name them. */
export const stateFolders = {
  journal: 'journal',
  torn: 'torn',
  builds: 'builds',
  procedures: 'procedures',
  attachments: 'attachments',
  records: 'records',
  scriptedKeys: 'scripted-keys',
} as const;

export const stateFiles = {
  draft: 'build.yaml',
  allowedSigners: 'allowed_signers',
  attributes: '.gitattributes',
} as const;

const journalEnd = '.jsonl';

/** The writer whose file has this name, or `undefined` for a conflict copy or any other file in `journal/`. */
export const writerOf = (name: string): string | undefined => {
  const writer = name.slice(0, -journalEnd.length);
  return name.endsWith(journalEnd) && isWriter(writer) ? writer : undefined;
};

/** The writer of `journal/WRITER.jsonl`. */
export const writerOfFile = (file: string): string => file.slice(stateFolders.journal.length + 1, -journalEnd.length);

/** `journal/WRITER.jsonl` */
export const journalFile = (writer: string): string => `${stateFolders.journal}/${writer}${journalEnd}`;

/** `journal/WRITER.jsonl:SEQ`, as faults name a line. */
export const linePlace = ({ writer, seq }: Pick<JournalLine, 'writer' | 'seq'>): string =>
  `${journalFile(writer)}:${seq}`;

/** The same of an entry, by its id `WRITER:SEQ`. */
export const entryPlace = (id: string): string => {
  const [writer = '', seq = ''] = id.split(':');
  return `${journalFile(writer)}:${seq}`;
};

/** A file that is still being written under a temporary name. What a kill leaves of it may be removed at any time. */
export const isTemporary = (name: string): boolean => name.startsWith('.') && name.endsWith('.tmp');
export const temporary = (name: string): string => `.${name}.tmp`;

const extensionForm = /^[a-z0-9]{1,8}$/;
/** True for the extension of a file that is named by its hash, without the dot. */
export const isExtension = (text: string): boolean => extensionForm.test(text);
const plainName = /^[A-Za-z0-9][A-Za-z0-9._-]{0,199}$/;

/** True for a name made of a hash and an extension, as in `builds/`, `procedures/` and `attachments/`. */
export const isHashName = (name: string): boolean =>
  isHash(name.slice(0, 64)) && name[64] === '.' && isExtension(name.slice(65));

/** `SHA256.EXT`, or `undefined` where either is not of that form. */
export const hashName = (hash: string, extension: string): string | undefined =>
  isHashName(`${hash}.${extension}`) ? `${hash}.${extension}` : undefined;

/** True for a path of one or two names, neither of which leads out of its folder. */
export const isRecordName = (path: string): boolean => {
  const parts = path.split('/');
  return parts.length <= 2 && parts.every((part) => plainName.test(part));
};

/** `records/JOB/N`, or `undefined` where the job's id is not one. */
export const recordFolder = (job: string, number: number): string | undefined =>
  isJob(job) && Number.isSafeInteger(number) && number >= 1 ? `${stateFolders.records}/${job}/${number}` : undefined;

/** True for a number of a record, as its folder is named. */
export const isRecordNumber = (name: string): boolean => /^[1-9]\d{0,5}$/.test(name);

/** `PERSON.key`, or `undefined` where the person's id is not one. */
export const keyFileName = (person: string): string | undefined => (isPerson(person) ? `${person}.key` : undefined);

/** The full path of a path in the state. */
export const inState = (state: string, path: string): string => join(state, ...path.split('/'));
