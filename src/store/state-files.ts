import { isJob, isWriter } from '../proof/line-shape.ts';
import { isExtension, isRecordName, isRecordNumber, stateFiles, stateFolders, writerOf } from './layout.ts';
import { isHash } from '../proof/hash.ts';

/** What a file of the state folder is, by its path alone. Whatever has no kind is not dryfit's own. */
export type StateFile =
  | { readonly kind: 'journal'; readonly writer: string }
  | { readonly kind: 'hashed'; readonly folder: 'builds' | 'procedures' | 'attachments'; readonly hash: string }
  | { readonly kind: 'record'; readonly job: string; readonly number: number; readonly name: string }
  | { readonly kind: 'torn' | 'draft' | 'signers' | 'attributes' };

const hashed = (folder: 'builds' | 'procedures' | 'attachments', name: string): StateFile | undefined => {
  const [hash, extension] = [name.slice(0, 64), name.slice(65)];
  if (!isHash(hash) || name[64] !== '.' || !isExtension(extension)) return undefined;
  return folder !== 'attachments' && extension !== 'yaml' ? undefined : { kind: 'hashed', folder, hash };
};

const record = (path: string): StateFile | undefined => {
  const [, job = '', number = '', ...rest] = path.split('/');
  const name = rest.join('/');
  return isJob(job) && isRecordNumber(number) && name !== '' && isRecordName(name)
    ? { kind: 'record', job, number: Number(number), name }
    : undefined;
};

const tornForm = /^([a-z2-7]{8})-[1-9]\d{0,9}-[0-9a-f]{8}\.part$/;

/** @param path relative to the state folder, with `/`. */
export const stateFile = (path: string): StateFile | undefined => {
  if (path === stateFiles.draft) return { kind: 'draft' };
  if (path === stateFiles.allowedSigners) return { kind: 'signers' };
  if (path === stateFiles.attributes) return { kind: 'attributes' };
  const [folder = '', name = '', ...more] = path.split('/');
  if (folder === stateFolders.records) return record(path);
  if (more.length > 0) return undefined;
  const writer = writerOf(name);
  if (folder === stateFolders.journal) return writer === undefined ? undefined : { kind: 'journal', writer };
  if (folder === stateFolders.torn) return isWriter(tornForm.exec(name)?.[1] ?? '') ? { kind: 'torn' } : undefined;
  return folder === 'builds' || folder === 'procedures' || folder === 'attachments' ? hashed(folder, name) : undefined;
};

/** `records/JOB/N` */
export const recordFolderOf = (job: string, number: number): string => `${stateFolders.records}/${job}/${number}`;
