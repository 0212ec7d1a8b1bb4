import { basename, isAbsolute, join } from 'node:path';
import { jobOf } from '../aircraft/state.ts';
import { verbCorrected } from '../aircraft/correcting.ts';
import { logOf } from '../aircraft/acts/temperatures.ts';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import type { Data } from '../job/entry.ts';
import { readAsked, typedText } from '../job/parse.ts';
import { givenFields, type Verb } from '../job/verbs.ts';
import { sha256Hex } from '../proof/hash.ts';
import { printOffset } from '../quantity/time.ts';
import { extensionOf, hashedLimits, keepHashed, type HashedFolder } from '../store/hashed-file.ts';
import { readFile } from '../store/read-file.ts';
import type { OpenState } from './open-state.ts';
import { procedureNamed } from './procedures/procedures.ts';
import { revisionFor } from './procedures/revision-for.ts';

/** A text or photo that an entry names by its hash. It is written to the disk before the entry. */
export interface AttachedFile {
  readonly folder: HashedFolder;
  readonly extension: string;
  readonly bytes: Uint8Array;
}

export interface BroughtData {
  readonly data: Data;
  readonly files: readonly AttachedFile[];
}

/** The fields of a verb that name a file, its bare object among them. */
export const fileFields = (verb: Verb): readonly string[] =>
  givenFields(verb)
    .filter(({ kind }) => kind === 'file')
    .map(({ name }) => name);

const completed = (data: Data, fields: readonly string[], folder: string): Data =>
  Object.fromEntries(
    Object.entries(data).map(([key, value]) =>
      fields.includes(key) && typeof value === 'string' && !isAbsolute(value)
        ? [key, join(folder, value)]
        : [key, value],
    ),
  );

/** Completes the relative paths that a person typed, from the folder in which they are working; those of a correction are in its value. */
export const withPaths = (verb: Verb, data: Data, folder: string): Data => {
  const { value } = data;
  const isCorrected = verb === 'correct' && typeof value === 'object' && value !== null && !Array.isArray(value);
  return isCorrected
    ? { ...data, value: completed(value as Data, ['file', 'letter'], folder) }
    : completed(data, fileFields(verb), folder);
};

/** A file that a person named, to be kept under its hash. */
export const attachment = (
  openState: OpenState,
  path: string,
): Outcome<{ readonly sha256: string; readonly kept: AttachedFile }> => {
  const bytes = readFile(openState.place.disk, path, { where: path, limit: hashedLimits.attachments, links: 'follow' });
  if (!bytes.ok)
    return err(usage('file-unreadable', `the file cannot be taken: ${bytes.fault.what}`, bytes.fault.todo, path));
  const kept: AttachedFile = { folder: 'attachments', extension: extensionOf(path), bytes: bytes.value };
  return ok({ sha256: sha256Hex(bytes.value), kept });
};

const attachFiles = (openState: OpenState, verb: Verb, data: Data): Outcome<BroughtData> => {
  const files: AttachedFile[] = [];
  const more: Record<string, string> = {};
  for (const field of fileFields(verb)) {
    const path = typedText(data, field);
    if (path === undefined) continue;
    const found = attachment(openState, path);
    if (!found.ok) return found;
    files.push(found.value.kept);
    more[field] = basename(path);
    more[`${field}-sha256`] = found.value.sha256;
  }
  return ok({ data: { ...data, ...more }, files });
};

/** A correction may name the right file, such as that of a photo; `hashes` says which text it is. */
const attachCorrected = (openState: OpenState, data: Data, job: string): Outcome<BroughtData> => {
  const { value, entry } = data;
  if (typeof value !== 'object' || value === null || Array.isArray(value) || typeof entry !== 'string')
    return ok({ data, files: [] });
  const verb = verbCorrected(openState.state, { job, data: { entry, value: '', reason: '' } });
  const fields = value as Data;
  const named = verb === undefined ? [] : fileFields(verb).filter((field) => typedText(fields, field) !== undefined);
  if (verb === undefined || named.length === 0) return ok({ data, files: [] });
  const brought = attachFiles(openState, verb, Object.fromEntries(named.map((field) => [field, fields[field] ?? ''])));
  if (!brought.ok) return brought;
  const names = Object.fromEntries(named.map((field) => [field, brought.value.data[field] ?? '']));
  const hashes = Object.fromEntries(named.map((field) => [field, brought.value.data[`${field}-sha256`] ?? '']));
  return ok({ data: { ...data, value: { ...fields, ...names }, hashes }, files: brought.value.files });
};

/** The exact text of the procedure is kept in the state, so that the job can be followed even if the file changes or is lost. */
const attachProcedure = (openState: OpenState, data: Data): Outcome<BroughtData> => {
  const id = typedText(data, 'procedure');
  if (id === undefined) return ok({ data, files: [] });
  const file = procedureNamed(openState.place.procedures, id);
  if (!file.ok) return file;
  const { sha256, bytes, procedure } = file.value;
  openState.library.put(sha256, procedure);
  return ok({
    data: { ...data, revision: procedure.revision, sha256 },
    files: [{ folder: 'procedures', extension: 'yaml', bytes }],
  });
};

/** The exact text of the revision that a move or a decision names is kept in the state, as for a start. */
const attachRevision = (openState: OpenState, data: Data, job: string): Outcome<BroughtData> => {
  const followed = jobOf(openState.state, job);
  if (followed === undefined) return ok({ data, files: [] });
  const found = revisionFor(openState.place, followed, typedText(data, 'revision'), typedText(data, 'change'));
  if (!found.ok) return found;
  const { sha256, bytes, procedure } = found.value;
  openState.library.put(sha256, procedure);
  return ok({
    data: { ...data, revision: procedure.revision, sha256 },
    files: [{ folder: 'procedures', extension: 'yaml', bytes }],
  });
};

/**
 * The log file of a logger. Where it names no offset and the clocks were changed since (daylight saving), only the person knows
 * how the logger's clock was set, and must give the offset.
 */
const attachLog = (openState: OpenState, data: Data): Outcome<BroughtData> => {
  const brought = attachFiles(openState, 'temperatures', data);
  const [file] = brought.ok ? brought.value.files : [];
  if (!brought.ok || file === undefined) return brought;
  openState.library.putLog(sha256Hex(file.bytes), file.bytes);
  const asked = readAsked('temperatures', brought.value.data);
  const isOffsetSaid = typedText(data, 'offset') !== undefined;
  const log = !asked.ok || isOffsetSaid ? undefined : logOf(asked.value, openState.library);
  if (log?.ok !== true || !log.value.isLocal) return brought;
  const { offset } = openState.place;
  const now = offset(openState.clock.ms());
  const ends = [log.value.ms[0] ?? 0, log.value.ms.at(-1) ?? 0].map((ms) => offset(ms - now * 60_000));
  if (ends.every((one) => one === now)) return brought;
  return err(
    usage(
      'offset-unsure',
      'the times name no offset, and the clocks were changed between them and now',
      `say how the logger's clock stood (offset=${printOffset(ends[0] ?? now)}, or offset=${printOffset(now)}); nothing was imported`,
      typedText(brought.value.data, 'file'),
    ),
  );
};

/** What the workshop adds to what a person typed: the hashes of the files they named. Nothing is on the disk yet. */
export const addBrought = (openState: OpenState, verb: Verb, data: Data, job: string): Outcome<BroughtData> => {
  if (verb === 'start') return attachProcedure(openState, data);
  if (verb === 'temperatures') return attachLog(openState, data);
  if (verb === 'correct') return attachCorrected(openState, data, job);
  return verb === 'move' || verb === 'resolve'
    ? attachRevision(openState, data, job)
    : attachFiles(openState, verb, data);
};

/** Writes the files into the state. A file that exists already is checked, not written again. */
export const keepFiles = ({ place }: OpenState, files: readonly AttachedFile[]): Outcome<true> => {
  for (const { folder, extension, bytes } of files) {
    const kept = keepHashed(place.disk, place.state, folder, bytes, extension);
    if (!kept.ok) return kept;
  }
  return ok(true);
};
