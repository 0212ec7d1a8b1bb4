import { jobOf, type BuildState } from '../../aircraft/state.ts';
import { sha256Hex } from '../../proof/hash.ts';
import { recordMatches } from '../../record/matches.ts';
import type { RecordDocument } from '../../record/document.ts';
import { foundWrong, noted, passed, type Observation } from '../../record/observe.ts';
import { readRecord } from '../../record/read.ts';
import { verifyRecord } from '../../record/verify.ts';
import { inState, recordFolder, stateFolders } from '../../store/layout.ts';
import type { Workplace } from '../place.ts';
import { readRecordFiles, type RecordOnDisk } from '../records/record-files.ts';
import { recordIn } from '../records/record-in.ts';
import { maySignRecords, recordNumbers } from '../records/records.ts';
import { pageObservations } from './page.ts';
import { signersText } from '../journal/signers-text.ts';
import type { Verification } from './verification.ts';

/** One record of the state, as far as it could be read. */
export interface FoundRecord {
  readonly job: string;
  readonly number: number;
  /** `records/JOB/N` */
  readonly folder: string;
  readonly files?: RecordOnDisk;
  readonly document?: RecordDocument;
  /** The hash of the last journal line that the record rests on. */
  readonly head?: string;
}

const foundRecord = (place: Workplace, job: string, number: number): FoundRecord => {
  const folder = recordFolder(job, number) ?? `${stateFolders.records}/${job}/${number}`;
  const path = inState(place.state, folder);
  const files = readRecordFiles(place.disk, path, `${path}/record.json`);
  if (!files.ok) return { job, number, folder };
  const read = readRecord(files.value.bytes);
  return {
    job,
    number,
    folder,
    files: files.value,
    ...(read.ok ? { document: read.value, head: read.value.journal.hash } : {}),
  };
};

/** Every record in the state, by job and number. */
export const recordsFound = (place: Workplace): readonly FoundRecord[] =>
  place.disk
    .list(inState(place.state, stateFolders.records))
    .filter((name) => place.disk.look(inState(place.state, `${stateFolders.records}/${name}`))?.kind === 'folder')
    .flatMap((job) => recordNumbers(place.disk, place.state, job).map((number) => foundRecord(place, job, number)));

/** Compares the record with the one that the journal gives at the line on which it rests. */
const againstJournal = (
  found: FoundRecord & { readonly document: RecordDocument },
  statesAt: ReadonlyMap<string, BuildState>,
  previous: string | undefined,
  hasSeveralWriters: boolean,
): Observation => {
  const where = `${found.folder}/record.json`;
  const { journal } = found.document;
  const state = statesAt.get(journal.hash);
  const job = state && jobOf(state, found.job);
  if (state === undefined || job === undefined)
    return foundWrong('it rests on a journal line that is not here, or that could not be believed', where);
  const { writer, seq, hash } = journal;
  if (!maySignRecords(state, found.document.signer))
    return foundWrong(`${found.document.signer} signed it, and was not a builder then`, where);
  const against = (before: string | undefined) =>
    recordMatches(found.document, recordIn(state, job, { writer, seq, hash }, before, found.document.signer));
  const difference = against(previous);
  // each machine writes the record of what it knew, and of two with one number only one can stay
  const isOther = difference !== undefined && hasSeveralWriters;
  if (isOther && against(found.document.previous) === undefined)
    return noted(
      'as the journal gives it; the record before it was written on another machine, and another lies here',
      where,
    );
  return difference === undefined
    ? passed('as the journal gives it', where)
    : foundWrong(
        `${difference.path} is ${difference.record ?? 'nothing'} here, and ${difference.journal ?? 'nothing'} by the journal`,
        where,
      );
};

/** What is wrong in the record itself, and what a reader must know about it. */
const ownObservations = (verification: Verification, state: BuildState, found: FoundRecord): readonly Observation[] => {
  if (found.files === undefined) return [foundWrong('record.json is missing or cannot be read', found.folder)];
  const { bytes, signature, answers, page } = found.files;
  const verified = verifyRecord({
    bytes,
    answers,
    page,
    signers: signersText(state, verification.read),
    ...(signature === undefined ? {} : { signature }),
  });
  const inFolder = (observation: Observation): Observation => ({
    ...observation,
    where: `${found.folder}/${observation.where}`,
  });
  return [
    ...verified.observations.filter(({ level }) => level !== 'notice').map(inFolder),
    ...(page.bytes === undefined && page.signature === undefined
      ? [foundWrong('the page for reading is missing', `${found.folder}/record.html`)]
      : pageObservations(page, found.document).map(inFolder)),
  ];
};

/** The signed answers that a record names, by their paths in its folder. */
const answerFiles = ({ steps }: RecordDocument): readonly string[] =>
  steps.flatMap(({ hold }) => hold?.looks ?? []).flatMap(({ answer }) => answer?.file ?? []);

/** Files in a record's folder that are not part of the record: nobody has signed for them. */
const strangers = ({ place }: Verification, { folder, document }: FoundRecord): readonly Observation[] => {
  const own = new Set(['record.json', 'record.json.sig', 'record.html', 'record.html.sig', 'holds']);
  const answers = new Set(document === undefined ? [] : answerFiles(document));
  const { disk, state } = place;
  const odd = disk.list(inState(state, folder)).filter((name) => !own.has(name));
  const oddAnswers = disk
    .list(inState(state, `${folder}/holds`))
    .map((name) => `holds/${name}`)
    .filter((name) => !answers.has(name.replace(/\.sig$/, '')));
  return [...odd, ...oddAnswers].map((name) =>
    noted('the record does not name this file, and nothing proves it', `${folder}/${name}`),
  );
};

/** Verifies every record of the state: it is signed, complete, and equal to what the journal gives. */
export const verifyRecords = (
  verification: Verification,
  state: BuildState,
  records: readonly FoundRecord[],
  statesAt: ReadonlyMap<string, BuildState>,
): void => {
  const hashes = new Map<string, string>();
  const progress = verification.place.progress?.('records-checked');
  for (const [index, found] of records.entries()) {
    progress?.(index + 1, records.length);
    verification.observations.push(...strangers(verification, found));
    verification.observations.push(...ownObservations(verification, state, found));
    const { document, files } = found;
    const previous = hashes.get(`${found.job}/${found.number - 1}`);
    if (document)
      verification.observations.push(
        againstJournal({ ...found, document }, statesAt, previous, Object.keys(state.written).length > 1),
      );
    const hash = files && sha256Hex(files.bytes);
    const twin = hash === undefined ? undefined : [...hashes].find(([, one]) => one === hash)?.[0];
    if (twin !== undefined)
      verification.observations.push(
        foundWrong(`the same record as ${stateFolders.records}/${twin}, put in its place`, found.folder),
      );
    if (hash !== undefined) hashes.set(`${found.job}/${found.number}`, hash);
  }
};
