import { statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { err, ok, refusal, usage, type Fault, type Outcome } from '../../fault/fault.ts';
import { suggest } from '../../fault/nearest.ts';
import { onDisk } from '../../store/disk-fault.ts';
import { checkFolder } from '../../procedure/folder.ts';
import { readBytes } from '../../procedure/load.ts';
import { type Message, messageAt, printMessage } from '../../procedure/message.ts';
import type { Procedure } from '../../procedure/model.ts';
import type { Tree } from '../../procedure/tree.ts';
import { folderTooLarge, largestFile, tooLarge } from '../../procedure/yaml/bytes.ts';
import { sha256Hex } from '../../proof/hash.ts';
import type { Progress } from '../place.ts';
import { boundedBytes, ending, isScript, yamlNames } from './folder-files.ts';

/** A file of a procedures folder: its exact bytes, and the procedure, or what is wrong with it. */
export interface ProcedureFile {
  readonly path: string;
  /** The file's name without `.yaml`; the procedure must have this id. */
  readonly id: string;
  readonly bytes: Uint8Array;
  readonly sha256: string;
  readonly procedure?: Procedure;
  readonly tree?: Tree;
  readonly messages: readonly Message[];
}

const none = new Uint8Array();

const first = { line: 1, column: 1 };

/** The message of `check` for a path that cannot be read. */
export const unreadableMessage = (path: string, { what, todo }: Fault): Message =>
  messageAt(
    path,
    first,
    'unreadable',
    `this cannot be read: ${what}`,
    todo.replace(/^[A-Z]/, (letter) => letter.toLowerCase()),
  );

interface Reading {
  /** True for a file of a procedures folder, where the file's name must be the procedure's id. */
  readonly named: boolean;
  /** Whether the rules of the trade are checked too. */
  readonly checks: boolean;
}

const withMessage = (path: string, id: string, message: Message): ProcedureFile => ({
  path,
  id,
  bytes: none,
  sha256: '',
  messages: [message],
});

const readFile = (path: string, { named, checks }: Reading): ProcedureFile => {
  const id = basename(path, ending);
  const read = onDisk(path, () => boundedBytes(path));
  if (!read.ok) return withMessage(path, id, unreadableMessage(path, read.fault));
  const bytes = read.value;
  if (typeof bytes === 'number') return withMessage(path, id, tooLarge(path, bytes));
  const options = { checks, ...(named ? { name: id } : {}) };
  return { path, id, bytes, sha256: sha256Hex(bytes), ...readBytes(bytes, path, options) };
};

/**
 * @param named true for a file of a procedures folder, where the file's name must be the procedure's id.
 * @param checks false: only what makes a procedure unreadable is reported
 */
export const readProcedureFile = (path: string, named: boolean, checks = true): ProcedureFile =>
  readFile(path, { named, checks });

/** In bytes: the files of one folder are read up to this total, some hundred thousand steps, so that memory stays bounded. */
const largestFolder = 32 * largestFile;

/** True for a regular file, and for a path that cannot be examined and is therefore reported, such as a link to nothing. */
export const isCandidate = (path: string): boolean => {
  const found = onDisk(path, () => statSync(path));
  return !found.ok || found.value.isFile();
};

/**
 * The regular `*.yaml` files directly in a folder, by name, without scripts and without hidden files, which editors leave. Throws
 * where the folder itself cannot be read.
 */
export const procedureFiles = (folder: string, progress?: Progress): readonly ProcedureFile[] => {
  let size = 0;
  const names = yamlNames(folder).filter((name) => isCandidate(join(folder, name)));
  const files = names.map((name, index) => {
    progress?.(index, names.length);
    const path = join(folder, name);
    if (size > largestFolder) return withMessage(path, basename(name, ending), folderTooLarge(path, size));
    const file = readFile(path, { named: true, checks: true });
    size += file.bytes.length;
    return file;
  });
  progress?.(names.length, names.length);
  return files.filter(({ bytes }) => !isScript(bytes));
};

/**
 * The faults that only show when all procedures of a folder are read together.
 * @param gates of the build in their order, where they are known
 */
export const folderMessages = (files: readonly ProcedureFile[], gates?: readonly string[]): readonly Message[] =>
  checkFolder(
    files.flatMap(({ path, procedure, tree }) => (procedure && tree ? [{ file: path, procedure, tree }] : [])),
    {
      unreadable: files.filter(({ procedure }) => procedure === undefined).map(({ id }) => id),
      ...(gates === undefined ? {} : { gates }),
    },
  );

/** Why a file holds no procedure that can be read: its first error, and how to see the others. */
export const unreadProcedure = (
  path: string,
  messages: readonly Message[],
): { readonly what: string; readonly todo: string } => {
  const first = messages.find(({ level }) => level === 'error');
  return {
    what: first === undefined ? `${path} holds no procedure` : printMessage(first),
    todo: `mend it; dryfit check ${path} tells everything`,
  };
};

/** Why a file of the folder cannot be started. */
export const faultyFile = ({ path, messages }: ProcedureFile): Fault => {
  const { what, todo } = unreadProcedure(path, messages);
  return refusal('procedure-faulty', what, todo);
};

const idForm = /^[a-z0-9][a-z0-9-]*$/;

const isThere = (path: string): boolean => statSync(path, { throwIfNoEntry: false })?.isFile() === true;

const unknownProcedure = (folder: string, id: string): Fault => {
  const isFolder = statSync(folder, { throwIfNoEntry: false })?.isDirectory() === true;
  if (!isFolder)
    return usage(
      'procedures-missing',
      `there is no folder of procedures at ${folder}`,
      'name it with --procedures DIR',
    );
  const ids = yamlNames(folder).map((name) => basename(name, ending));
  const guess = suggest(id, ids);
  const todo = guess === undefined ? `there are: ${ids.join(', ') || 'none'}` : `did you mean ${guess}?`;
  return usage('unknown-id', `there is no procedure '${id}' in ${folder}`, todo);
};

/**
 * The file of one procedure, by its id, if it can be started.
 * Faults: `unknown-id` and `procedures-missing` (usage), `procedure-faulty` (refused).
 */
export const procedureNamed = (
  folder: string,
  id: string,
): Outcome<ProcedureFile & { readonly procedure: Procedure }> => {
  const path = join(folder, `${id}${ending}`);
  if (!idForm.test(id) || !isThere(path)) return err(unknownProcedure(folder, id));
  const file = readProcedureFile(path, true);
  return file.procedure === undefined ? err(faultyFile(file)) : ok({ ...file, procedure: file.procedure });
};
