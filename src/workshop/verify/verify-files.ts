import type { BuildState } from '../../aircraft/state.ts';
import { typedText } from '../../job/parse.ts';
import { isVerb } from '../../job/verbs.ts';
import type { Link } from '../../proof/chain.ts';
import { sha256Hex } from '../../proof/hash.ts';
import { foundWrong, noted, type Observation } from '../../record/observe.ts';
import { extensionOf, readHashed, type HashedFolder } from '../../store/hashed-file.ts';
import { inState, isTemporary, linePlace, stateFiles, stateFolders } from '../../store/layout.ts';
import { lookAtLock } from '../../store/lock.ts';
import { realProcesses } from '../../store/processes.ts';
import { readText } from '../../store/read-file.ts';
import { realState } from '../../store/writers.ts';
import { fileFields } from '../attached-files.ts';
import { entryOfLink } from '../journal/fold.ts';
import { signersText } from '../journal/signers-text.ts';
import type { Verification } from './verification.ts';

const largestText = 16 * 1024 * 1024;

interface NamedFile {
  readonly folder: HashedFolder;
  readonly hash: string;
  readonly extension: string;
  /** The journal line that names the file. */
  readonly where: string;
}

const textNames: Readonly<Record<string, HashedFolder>> = {
  start: 'procedures',
  move: 'procedures',
  resolve: 'procedures',
  build: 'builds',
};

/** Every file that a line names by its hash. */
const namedBy = (link: Link): readonly NamedFile[] => {
  const { type, data } = entryOfLink(link);
  const where = linePlace(link.line);
  const hash = typedText(data, 'sha256');
  const folder = textNames[type];
  if (folder !== undefined) return hash === undefined ? [] : [{ folder, hash, extension: 'yaml', where }];
  if (!isVerb(type)) return [];
  return fileFields(type).flatMap((name) => {
    const kept = typedText(data, `${name}-sha256`);
    if (kept === undefined) return [];
    return [{ folder: 'attachments' as const, hash: kept, extension: extensionOf(typedText(data, name) ?? ''), where }];
  });
};

/** The files named as evidence for an extended lot in the build.yaml in force. */
const evidenceIn = (state: BuildState): readonly NamedFile[] =>
  state.file.stock.flatMap(({ extended }) =>
    extended.flatMap(({ evidence }) => {
      const [hash, extension] = evidence?.split('.') ?? [];
      return hash === undefined || extension === undefined
        ? []
        : [{ folder: 'attachments' as const, hash, extension, where: stateFiles.draft }];
    }),
  );

const verifyNamed = ({ place, observations }: Verification, files: readonly NamedFile[]): void => {
  const progress = place.progress?.('files');
  for (const [index, { folder, hash, extension, where }] of files.entries()) {
    progress?.(index + 1, files.length);
    const bytes = readHashed(place.disk, place.state, folder, hash, extension);
    if (bytes.ok) continue;
    const path = `${folder}/${hash}.${extension}`;
    observations.push(foundWrong(`${bytes.fault.what}; ${where} names it`, path));
  }
};

/** Reports files that no line names: a kill left them before their entry was written, or somebody put them there. */
const reportUnnamed = ({ place, observations }: Verification, files: readonly NamedFile[]): void => {
  const named = new Set(files.map(({ folder, hash, extension }) => `${folder}/${hash}.${extension}`));
  for (const folder of [stateFolders.builds, stateFolders.procedures, stateFolders.attachments])
    for (const name of place.disk.list(inState(place.state, folder))) {
      const path = `${folder}/${name}`;
      if (isTemporary(name)) observations.push(noted('a temporary file, which may be removed', path));
      else if (!named.has(path)) observations.push(noted('no entry names this file', path));
    }
  for (const folder of ['', stateFolders.records])
    for (const name of place.disk.list(inState(place.state, folder)))
      if (isTemporary(name)) observations.push(noted('a temporary file, which may be removed', `${folder}/${name}`));
};

const linesOf = (text: string): readonly string[] => text.split('\n').filter((line) => line !== '');

/** Compares `allowed_signers` with the journal. A kill may leave it out of date, but a key that the journal does not have is wrong. */
const signersObservation = ({ place, read }: Verification, state: BuildState): Observation | undefined => {
  const where = stateFiles.allowedSigners;
  const text = readText(place.disk, inState(place.state, where), { where, limit: largestText });
  const wanted = signersText(state, read);
  if (!text.ok) return wanted === '' ? undefined : noted('missing; it is rebuilt when the state is next opened', where);
  if (text.value === wanted) return undefined;
  const known = new Set(linesOf(wanted));
  return linesOf(text.value).every((line) => known.has(line))
    ? noted('behind the journal; it is rebuilt when the state is next opened', where)
    : foundWrong('it names a key that the journal does not have', where);
};

const draftObservation = ({ place }: Verification, state: BuildState): Observation | undefined => {
  const where = stateFiles.draft;
  const text = readText(place.disk, inState(place.state, where), { where, limit: largestText });
  if (!text.ok)
    return text.fault.code === 'file-missing'
      ? state.fileSha256 === ''
        ? undefined
        : noted(`missing; the build in force is ${stateFolders.builds}/${state.fileSha256}.yaml`, where)
      : noted(`a draft that cannot be read: ${text.fault.what}`, where);
  if (sha256Hex(text.value) === state.fileSha256) return undefined;
  return noted('a draft that is not taken in yet', where);
};

/** Unless git is configured to leave the bytes alone, it may change the line feeds of a journal. */
const attributesObservation = ({ place }: Verification): Observation | undefined => {
  const where = stateFiles.attributes;
  const text = readText(place.disk, inState(place.state, where), { where, limit: largestText });
  return text.ok && linesOf(text.value).includes('* -text')
    ? undefined
    : noted('it does not say `* -text`: git may change the ends of lines, and nothing would fit any more', where);
};

const lockObservations = ({ place }: Verification): readonly Observation[] => {
  const real = realState(place.disk, place.state);
  if (!real.ok) return [];
  const { disk, cache, config } = place;
  const { left, holder } = lookAtLock({ disk, cache, config, realState: real.value, processes: realProcesses });
  return [
    ...left.map((name) => noted(`process ${Number.parseInt(name, 10)} ended without closing it`, 'lock')),
    ...(holder === undefined
      ? []
      : [noted(`process ${Number.parseInt(holder, 10)} has it open and may write`, 'lock')]),
  ];
};

/** Verifies every file of the state folder outside the journal and the records. */
export const verifyFiles = (verification: Verification, state: BuildState, links: readonly Link[]): void => {
  const files = [...links.flatMap(namedBy), ...evidenceIn(state)];
  verifyNamed(verification, files);
  reportUnnamed(verification, files);
  const more = [
    signersObservation(verification, state),
    draftObservation(verification, state),
    attributesObservation(verification),
  ];
  verification.observations.push(
    ...more.flatMap((observation) => observation ?? []),
    ...lockObservations(verification),
  );
};
